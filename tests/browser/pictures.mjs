// The pictures of the README, made from the committed site:
//
//   node tests/browser/pictures.mjs
//
// `pictures/made-from.json` keeps a hash of what each was made from; `pictures.test.mjs` tells which
// of them no longer show the site.

import { execFileSync } from "node:child_process";
import { createHash } from "node:crypto";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";

import { start } from "./browser.mjs";
import { watch } from "./live.mjs";

const site = fileURLToPath(new URL("../../site/", import.meta.url));
const folder = fileURLToPath(new URL("pictures/", import.meta.url));
export const record = join(folder, "made-from.json");

/** A page as a screen shows its first part. */
const screen = (width, height, before = undefined) => async (browser, file) => {
  const page = await browser.newPage();
  await page.setViewport({ width, height, deviceScaleFactor: 1.25 });
  await page.goto(pathToFileURL(file).href);
  if (before) await before(page);
  const picture = await page.screenshot();
  await page.close();
  return picture;
};

/** The first side of a page on paper. */
const paper = async (browser, file) => {
  const page = await browser.newPage();
  await page.goto(pathToFileURL(file).href);
  const pdf = await page.pdf({ format: "Letter", printBackground: true });
  await page.close();
  const scratch = mkdtempSync(join(tmpdir(), "drillwright-picture-"));
  try {
    writeFileSync(join(scratch, "page.pdf"), pdf);
    execFileSync("pdftoppm", ["-r", "90", "-f", "1", "-l", "1", "-singlefile", "-png", "page.pdf", "side"], { cwd: scratch });
    return readFileSync(join(scratch, "side.png"));
  } finally {
    rmSync(scratch, { recursive: true, force: true });
  }
};

/** As it is once its cautions were read: their headlines stay. */
const read = async (page) => {
  const folds = await page.$$("button");
  for (const one of folds) if (/fold/.test(await one.evaluate((at) => at.textContent))) await one.click();
};

/** Down to the first question with its working. */
const worked = (page) => page.$eval("#main .key h3, #main h3", (head) => head.scrollIntoView());

/** Each picture: the page that it shows, with the style sheet beside it, and how it is taken. */
const pictures = {
  "lesson.png": ["crew/lesson-keep-up.html", screen(390, 760, read)],
  "rig-card.png": ["crew/rig-engine-7.html", paper],
  "sign-off.png": ["staff/sheet-flush-engine-7.html", paper],
  "key.png": ["keys/key-ten-to-know.html", screen(720, 800, worked)],
  "live.png": ["staff/live-flush.html", screen(390, 844, watch)],
};

/** What each picture would be made from today. The page of the live sheet holds words and drill; how
    its engine draws them is looked at by the tests of that sheet. */
export function today() {
  const of = ([name]) => {
    const hash = createHash("sha256");
    for (const file of [name, `${name.split("/")[0]}/plain.css`]) hash.update(readFileSync(join(site, file)));
    return hash.digest("hex");
  };
  return Object.fromEntries(Object.entries(pictures).map(([picture, from]) => [picture, of(from)]));
}

async function make() {
  const { browser, close } = await start();
  try {
    for (const [picture, [name, take]] of Object.entries(pictures)) {
      writeFileSync(join(folder, picture), await take(browser, join(site, name)));
    }
  } finally {
    await close();
  }
  writeFileSync(record, `${JSON.stringify(today(), null, 2)}\n`);
}

if (process.argv[1] === fileURLToPath(import.meta.url)) await make();
