// One page of every kind on paper by a second browser, on both sizes: what stands on each side must
// not be owed to the browser that the pages were tuned in.

import assert from "node:assert/strict";
import { cpSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { after, before, describe, test } from "node:test";
import puppeteer from "puppeteer-core";

import { onPaper } from "./browser.mjs";
import { Looked } from "./looked.mjs";
import { again, pagesIn, plain, sentence, site, source } from "./pages.mjs";
import { papers, sheets, words } from "./print.mjs";

/** In points, as a PDF counts them. */
const sizes = { Letter: [612, 792], A4: [595, 842] };

/** What is laminated is one side, and what is filled in at the panel two leaves at most. */
const most = { rig: 1, "sign-off": 3 };

/** The longest page of each kind: the one that most likely breaks where it should not. */
function ofEachKind() {
  // A page that is sent names the hash of its own style, so that it cannot be had for another paper;
  // it is a lesson with what the lesson's page loads.
  const all = pagesIn(site).filter((name) => !again.test(name) && !name.includes("/send-"));
  const kind = (name) => /<body[^>]*data-kind="([^"]+)"/.exec(source(site, name))?.[1] ?? "none";
  const long = (name) => source(site, name).length;
  const longest = {};
  for (const name of all) {
    const of = kind(name);
    if (!longest[of] || long(name) > long(longest[of])) longest[of] = name;
  }
  return Object.entries(longest);
}

let browser;
const folders = {};
before(async () => {
  // This browser lets no request for a file be answered by a test, so that each paper has a copy.
  for (const paper of papers) {
    folders[paper] = mkdtempSync(join(tmpdir(), "drillwright-firefox-"));
    cpSync(site, folders[paper], { recursive: true, filter: (name) => !/\.wasm$/.test(name) });
    for (const part of ["crew", "staff", "keys"]) {
      const css = join(folders[paper], part, "plain.css");
      writeFileSync(css, onPaper(css, paper).body);
    }
  }
  browser = await puppeteer.launch({
    browser: "firefox",
    executablePath: process.env.FIREFOX ?? "/usr/bin/firefox-esr",
    headless: true,
  });
});
after(async () => {
  await browser?.close();
  for (const folder of Object.values(folders)) rmSync(folder, { recursive: true, force: true });
});

/** What is wrong with a page as this browser prints it. */
async function faultsOf(name, paper) {
  const file = join(folders[paper], name);
  writeFileSync(file, onPaper(file, paper).body);
  const page = await browser.newPage();
  await page.goto(pathToFileURL(file).href);
  const headlines = await page.$$eval("[data-caution-headline]", (all) => [...new Set(all.map((one) => one.textContent))]);
  const kind = await page.evaluate(() => document.body.dataset.kind ?? "");
  const pdf = await page.pdf({ format: paper, printBackground: true });
  await page.close();
  const texts = sheets(pdf);
  const faults = [];
  if (texts.length > (most[kind] ?? Infinity)) faults.push(`${texts.length} sides, not ${most[kind]}`);
  words(pdf).forEach(({ width, height }, at) => {
    const [wide, high] = sizes[paper];
    if (Math.abs(width - wide) > 2 || Math.abs(height - high) > 2) faults.push(`side ${at + 1}: ${width} by ${height} points`);
  });
  // Each leaf of a chain carries the cautions of its own drill.
  const wanted = [sentence, ...(kind === "sign-off-chain" ? [] : headlines)];
  texts.forEach((text, at) => {
    for (const words of wanted) {
      if (!plain(text).includes(plain(words))) faults.push(`side ${at + 1} of ${texts.length}: no "${words.trim()}"`);
    }
  });
  // A bundle is one sheet after another; each counts its own sides.
  let expected = 1;
  texts.forEach((text, at) => {
    const [, side, all] = /page (\d+) of (\d+)/.exec(text)?.map(Number) ?? [];
    if (!side) return;
    const own = kind.startsWith("sign-off");
    if (own && side !== expected) faults.push(`side ${at + 1}: page ${side}, not ${expected}`);
    if (!own && (side !== at + 1 || all !== texts.length)) faults.push(`side ${at + 1} of ${texts.length}: page ${side} of ${all}`);
    expected = side >= all ? 1 : side + 1;
  });
  if (expected !== 1) faults.push(`the last sheet ends before its page ${expected}`);
  return { faults, sides: texts.length };
}

describe("a page of every kind, printed by Firefox", () => {
  for (const paper of papers) {
    const looked = new Looked(`firefox-${paper}`, ["print.mjs", "firefox-print.test.mjs"]);
    for (const [kind, name] of ofEachKind()) {
      const skip = looked.was(site, name) && "passed before, unchanged";
      test(`${kind}: ${name} on ${paper}`, { skip }, async () => {
        const { faults, sides } = await faultsOf(name, paper);
        assert.deepEqual(faults, []);
        assert.ok(sides > 0, "nothing was printed");
        looked.passed(site, name);
      });
    }
  }
});
