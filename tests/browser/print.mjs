// What a printed page says on each of its sheets. Each check returns the faults it finds.

import { execFileSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

import { shown } from "./browser.mjs";
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
    // The code of the form and the name of what it is, and on a graded paper whose it is: a leaf that
    // falls out of a pile is put back by them. Sheets of a chain are forms of several drills.
    marks: [".formcode, .so-nav .form", "h1", ".signed b"].flatMap((mark) => texts(mark).slice(0, 1)),
    steps: document.querySelectorAll(".steps > li").length,
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

/** The text of each side, and where its foot begins; the number of the side in the margin is no text. */
function bodies(sides, foot) {
  return sides.map(({ height, found }) => {
    const text = found.filter(({ box: [, , , low] }) => low < height - margin).map((one) => ({ ...one, text: spelled(one.text) }));
    const starts = text.findLastIndex((_, at) => foot.every((word, next) => text[at + next]?.text === word));
    const low = Math.max(...text.map(({ box }) => box[3]));
    const end = foot.length > 0 && starts >= 0 ? text[starts].box[1] : low;
    return { height, low, end, text };
  });
}

/** How much of its last side a document uses, from 0 to 1: what stands above the foot, of the room above it. */
function lastFull(sides) {
  const { height, low, end, text } = sides.at(-1);
  const top = Math.min(...text.map(({ box }) => box[1]));
  return (end - top) / (height - 2 * margin - (low - end));
}

/** Runs in the page: the heads that are printed, word by word. */
function heads() {
  const all = [...document.querySelectorAll("#main :is(h2, h3), #main figcaption:first-child, #main caption, .so-h")];
  // A list of links names the heads as well, and stands over nothing.
  const named = new Set([...document.querySelectorAll("#main a")].map((one) => one.textContent.trim()));
  const texts = new Set(all.map((one) => one.textContent.trim()).filter((text) => text.length > 3 && !named.has(text)));
  return [...texts].map((text) => text.split(/\s+/));
}

/** Heads with nothing below them on their side: what they stand over begins on the next one. */
function orphans(sides, all) {
  return sides.flatMap(({ end, text }, side) => {
    const above = text.filter(({ box }) => box[1] < end - 1);
    // A line of text or the first words of a drawing are at most so far below a head.
    const lonely = ([x, , , low]) => !above.some(({ box: [left, top, , foot] }) =>
      top > low - 1 && top < low + 45 && foot > low + 2 && left > x - 4 && left < x + 150);
    // The same words within a line of text are no head.
    const beside = (one, other) => one && other && Math.abs(one.box[1] - other.box[1]) < 2 && other.box[0] - one.box[2] < 8 && other.box[0] > one.box[0];
    const alone = (at, many) => !beside(above[at - 1], above[at]) && !beside(above[at + many - 1], above[at + many]);
    const places = (head) => above.map((_, at) => at).filter((at) => head.every((word, next) => above[at + next]?.text === word) && alone(at, head.length));
    return all.flatMap((head) => places(head).filter((at) => lonely(above[at].box)).map(() => `side ${side + 1}: nothing stands below "${head.join(" ")}"`));
  });
}

/** Prints a page on one size of paper; returns the faults and how many sheets there are. */
export async function printed(browser, folder, name, paper, onEach) {
  const { faults, said, below, over, pdf } = await shown(browser, folder, name, { paper }, async (page, faults) => {
    const said = await page.evaluate(promises);
    const below = await page.evaluate(foot);
    await page.emulateMediaType("print");
    const over = await page.evaluate(heads);
    return { faults, said, below, over, pdf: await page.pdf({ format: paper, printBackground: true }) };
  });
  const { headlines, kind, marks, steps } = said;
  const pages = words(pdf);
  const texts = pages.map(({ found }) => found.map((one) => spelled(one.text)).join(" "));
  if (headlines.length === 0) faults.push("the page has no caution");
  if (headlines.length > 3) faults.push(`${headlines.length} cautions; three at most`);
  // Each leaf of a chain carries the cautions of its own drill, not those of its head leaf.
  const chain = kind === "sign-off-chain";
  const wanted = [sentence, ...(chain ? [] : [...headlines, ...marks]), ...onEach];
  const sides = bodies(pages, below);
  faults.push(...orphans(sides, over));
  // A last side for a few lines is a sheet of paper for nothing. One side alone wastes none.
  const last = lastFull(sides);
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
  // A drill card is one leaf.
  if (kind === "drill" && steps <= 15 && texts.length > 2) {
    faults.push(`${paper}: a drill card of ${steps} steps on ${texts.length} sides`);
  }
  // What an instructor holds in one hand is one leaf too.
  if (kind === "leaf" && texts.length > 2) {
    faults.push(`${paper}: an instructor's leaf on ${texts.length} sides`);
  }
  if (kind === "guide" && texts.length > 4) {
    faults.push(`${paper}: an evaluator's guide on ${texts.length} sides`);
  }
  if (!kind.startsWith("sign-off")) {
    texts.forEach((text, at) => {
      if (new RegExp(`(page|side) ${at + 1} of ${texts.length}\\b`).test(text)) return;
      faults.push(`${paper}, sheet ${at + 1} of ${texts.length}: it does not say which it is`);
    });
  }
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
