// What a printed page says on each of its sheets. Each check returns the faults it finds.

import { execFileSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

import { open } from "./browser.mjs";
import { plain, sentence } from "./pages.mjs";

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

/** Runs in the page: what its sheets must say. */
function promises() {
  const texts = (mark) => [...document.querySelectorAll(mark)].map((at) => at.textContent);
  return {
    headlines: [...new Set(texts("[data-caution-headline]"))],
    kind: document.body.dataset.kind ?? "",
  };
}

/** Prints a page on one size of paper; returns the faults and how many sheets there are. */
export async function printed(browser, folder, name, paper, onEach) {
  const { page, faults } = await open(browser, folder, name, 1280, paper);
  const { headlines, kind } = await page.evaluate(promises);
  const pdf = await page.pdf({ format: paper, printBackground: true });
  await page.close();
  const texts = sheets(pdf);
  if (headlines.length === 0) faults.push("the page has no caution");
  if (headlines.length > 3) faults.push(`${headlines.length} cautions; three at most`);
  // Each leaf of a chain carries the cautions of its own drill, not those of its head leaf.
  const chain = kind === "sign-off-chain";
  const wanted = [sentence, ...(chain ? [] : headlines), ...onEach];
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
