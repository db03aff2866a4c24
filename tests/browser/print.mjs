// What a printed page says on each of its sheets. Each check returns the faults it finds.

import { execFileSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

import { open } from "./browser.mjs";
import { plain, sentence } from "./pages.mjs";

/** In points: no text stands nearer to the edge, except the number of the side. */
const margin = 20;

/** The two sizes of paper that modules are printed on. */
export const papers = ["Letter", "A4"];

/** What pdftotext says of a PDF. */
function read(pdf, way) {
  const folder = mkdtempSync(join(tmpdir(), "drillwright-print-"));
  try {
    const file = join(folder, "page.pdf");
    writeFileSync(file, pdf);
    return execFileSync("pdftotext", [...way, "-enc", "UTF-8", file, "-"], {
      encoding: "utf8",
      maxBuffer: 1 << 26,
    });
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** The text of every sheet of a PDF. */
export function sheets(pdf) {
  // Each sheet ends with a form feed.
  return read(pdf, ["-layout"]).split("\f").slice(0, -1);
}

/** Size of every sheet of a PDF and its words with their places: left, top, right, foot, in points. */
export function words(pdf) {
  const sides = read(pdf, ["-bbox"]).split("<page ").slice(1);
  return sides.map((side) => {
    const [width, height] = ["width", "height"].map((name) => Number(new RegExp(`${name}="([\\d.]+)"`).exec(side)[1]));
    const found = side.matchAll(/<word xMin="([\d.-]+)" yMin="([\d.-]+)" xMax="([\d.-]+)" yMax="([\d.-]+)">([^<]*)</g);
    return { width, height, found: [...found].map(([, x, y, right, foot, text]) => ({ box: [x, y, right, foot].map(Number), text })) };
  });
}

/** A fifth of the last side at least is used, on every kind of page. */
const leastOfLast = 0.2;

/** Runs in the page: what its sheets must say. */
function promises() {
  const texts = (mark) => [...document.querySelectorAll(mark)].map((at) => at.textContent);
  return {
    headlines: [...new Set(texts("[data-caution-headline]"))],
    kind: document.body.dataset.kind ?? "",
  };
}

/** Runs in the page: the first words of the foot that stands on every side. */
function foot() {
  const all = document.querySelectorAll("footer .heads, .so-foot p, footer p");
  const words = [...all].map((one) => one.textContent.trim().split(/\s+/).slice(0, 4)).find((some) => some.length > 1);
  return words ?? [];
}

const letters = { "&amp;": "&", "&#39;": "'", "&apos;": "'", "&quot;": '"', "&lt;": "<", "&gt;": ">" };
const spelled = (text) => text.replaceAll(/&(amp|#39|apos|quot|lt|gt);/g, (each) => letters[each]);

/**
 * How much of its last side a document uses, from 0 to 1: what stands above the foot, of the room
 * above it. The number of the side in the margin is no text.
 */
export function lastFull(pdf, foot) {
  const { height, found } = words(pdf).at(-1);
  const text = found.filter(({ box: [, , , low] }) => low < height - margin);
  const starts = text.findLastIndex((_, at) => foot.every((word, next) => spelled(text[at + next]?.text ?? "") === word));
  const low = Math.max(...text.map(({ box }) => box[3]));
  const end = foot.length > 0 && starts >= 0 ? text[starts].box[1] : low;
  const top = Math.min(...text.map(({ box }) => box[1]));
  return (end - top) / (height - 2 * margin - (low - end));
}

/** Prints a page on one size of paper; returns the faults and how many sheets there are. */
export async function printed(browser, folder, name, paper, onEach) {
  const { page, faults } = await open(browser, folder, name, 1280, paper);
  const { headlines, kind } = await page.evaluate(promises);
  const below = await page.evaluate(foot);
  const pdf = await page.pdf({ format: paper, printBackground: true });
  await page.close();
  const texts = sheets(pdf);
  if (headlines.length === 0) faults.push("the page has no caution");
  if (headlines.length > 3) faults.push(`${headlines.length} cautions; three at most`);
  // Each leaf of a chain carries the cautions of its own drill, not those of its head leaf.
  const chain = kind === "sign-off-chain";
  const wanted = [sentence, ...(chain ? [] : headlines), ...onEach];
  // A last side for a few lines is a sheet of paper for nothing. One side alone wastes none.
  const last = lastFull(pdf, below);
  if (texts.length > 1 && !(last >= leastOfLast)) {
    faults.push(`${paper}: the last of ${texts.length} sides is ${Math.round(last * 100)} % full`);
  }
  texts.forEach((text, at) => {
    const said = plain(text);
    if (chain && !/\b(DANGER|WARNING|CAUTION|NOTICE)\b/.test(text)) {
      faults.push(`${paper}, sheet ${at + 1} of ${texts.length}: no caution`);
    }
    for (const words of wanted) {
      if (!said.includes(plain(words))) {
        faults.push(`${paper}, sheet ${at + 1} of ${texts.length}: no "${words.trim()}"`);
      }
    }
  });
  // A sheet says of each side which one it is of how many: two sides of one leaf, or three where
  // its steps or numbers are too many for two. A bundle of sheets is one such row after another.
  if (kind.startsWith("sign-off")) {
    let expected = 1;
    let of = 0;
    texts.forEach((text, at) => {
      const [, page, all] = /page (\d+) of (\d+)/.exec(text)?.map(Number) ?? [0, 0, 0];
      if (expected === 1 && all > 0) of = all;
      if (page !== expected || all !== of) {
        faults.push(`${paper}, sheet ${at + 1} of ${texts.length}: page ${page} of ${all}, not ${expected} of ${of}`);
      }
      expected = expected >= of ? 1 : expected + 1;
    });
    if (expected !== 1) faults.push(`${paper}: the last sheet ends with page ${expected - 1} of ${of}`);
    if (kind === "sign-off" && of > 3) faults.push(`${paper}: a sign-off sheet of ${of} sides`);
  }
  return { faults, sheets: texts.length };
}
