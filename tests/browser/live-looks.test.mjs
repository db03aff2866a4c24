// Every view of a live sheet on a phone held upright and across, on a tablet and on a desk, in
// light and in dark, as HTML and on paper. Pictures of them all are left in the folder that
// DRILLWRIGHT_PICTURES names.

import assert from "node:assert/strict";
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";

import { start } from "./browser.mjs";
import { begin, declared, end, goesOn, markAll, numbers, press, ready, save, tap, until, watch, whole, write } from "./live.mjs";
import { viewed } from "./looks.mjs";
import { plain, sentence } from "./pages.mjs";
import { papers, sheets } from "./print.mjs";
import { valid } from "./text.mjs";
import { files, visit } from "./web.mjs";

let chromium;
before(async () => (chromium = await start()));
after(() => chromium?.close());

const pictures = process.env.DRILLWRIGHT_PICTURES;
/** Widths and heights: a phone upright and across, a tablet, a desk. */
const screens = [[360, 780], [844, 390], [820, 1180], [1280, 800]];

async function picture(page, view) {
  if (!pictures) return;
  mkdirSync(pictures, { recursive: true });
  for (const [width, height] of screens) {
    await page.setViewport({ ...page.viewport(), width, height });
    for (const scheme of ["light", "dark"]) {
      await page.emulateMediaFeatures([{ name: "prefers-color-scheme", value: scheme }]);
      await page.screenshot({ path: join(pictures, `${view}-${width}-${scheme}.png`) });
    }
  }
}

/** The page as it stands now, as a file for the validator. */
async function written(page, folder, view) {
  const html = await page.evaluate(() => document.documentElement.outerHTML);
  writeFileSync(join(folder, `${view}.html`), `<!doctype html>\n${html}`);
  return `${view}.html`;
}

test("every view looks right everywhere and is valid", async () => {
  const { page, faults, close } = await visit(chromium.browser, `${files}staff/live-flush.html`, { touch: true, width: 360 });
  const folder = mkdtempSync(join(tmpdir(), "drillwright-views-"));
  const names = [];
  const look = async (view) => {
    await page.setViewport({ ...page.viewport(), width: 360, height: 780 });
    await picture(page, view);
    assert.deepEqual(await viewed(page, screens), [], view);
    names.push(await written(page, folder, view));
  };
  await ready(page);
  await look("declare");
  await tap(page, "#begin");
  await until(page, "gaps, first");
  await look("missing");
  await watch(page);
  await look("watch");
  for (const over of ["critical", "caution"]) {
    await tap(page, `#${over}`);
    await page.waitForSelector(".watch.over");
    await look(over);
    await tap(page, "#to-step");
    await page.waitForSelector(".watch:not(.over)");
  }
  await whole(page);
  await look("run");
  await page.setViewport({ ...page.viewport(), width: 844, height: 390 });
  const bar = await page.$eval(".bar", (bar) => bar.getBoundingClientRect().height);
  assert.ok(bar < 390 / 3, `the bar is ${bar} px high on a phone held across`);
  await tap(page, "#f-flush-reading-flow-read");
  await look("keypad");
  // The keypad covers the middle of a small screen; a touch beside it closes it.
  await page.evaluate(() => document.activeElement.blur());
  await press(page, "m-bottle-not-seen");
  await tap(page, "#stop");
  await until(page, "Safe state, in this order:");
  await look("stopped");
  await tap(page, "#no-stop");
  await goesOn(page);
  await markAll(page, /^m-(bottle|freeze)-/);
  await tap(page, "#end");
  await page.waitForSelector(".watch.asked");
  await look("asked");
  await whole(page);
  await until(page, "Not done, or not seen?");
  await look("review");
  await tap(page, "#rest-not-done");
  await press(page, "m-ask-clear-not-done");
  await press(page, "f-flush-settled-clear-on-time-alone-stands-yes");
  await press(page, "f-void-cause-weather");
  await look("question");
  await press(page, "m-ask-clear-prompted");
  await press(page, "b-ask-clear-no");
  await press(page, "f-void-cause-");
  await look("pairs");
  await tap(page, "#discard");
  await page.waitForSelector("#keep");
  await look("discard");
  await tap(page, "#keep");
  await page.waitForFunction(() => !document.getElementById("keep"));
  await save(page);
  await look("done");
  await page.$$eval("#engine details", (all) => all.forEach((one) => (one.open = true)));
  await look("unfolded");
  assert.deepEqual(await valid(folder, names), []);
  assert.deepEqual(faults, []);
  rmSync(folder, { recursive: true, force: true });
  await close();
});

test("the filled sheet prints as the paper does, cautions and name lines on it", async () => {
  for (const name of ["flush", "percent-change"]) {
    const { page, faults, close } = await visit(chromium.browser, `${files}staff/live-${name}.html`, { width: 1000 });
    await ready(page);
    const before = sheets(await page.pdf({ format: "Letter", printBackground: true })).join(" ");
    assert.match(before, /print the blank sheet/);
    await begin(page, { "crew-officer": "alder" });
    const acts = await page.$$eval(".act", (lines) => lines.map((line) => line.innerText.replace(/^\d+\. /, "")));
    assert.ok(acts.length > 8, `${acts}`);
    await markAll(page);
    if (name === "flush") for (const [id, text] of Object.entries(numbers)) await write(page, id, text);
    await end(page);
    await write(page, "f-words", "The wind had turned.");
    await save(page);
    const outcome = await page.$eval(".outcome", (line) => line.textContent);
    const headlines = await page.$$eval("[data-caution-headline]", (lines) => lines.map((line) => line.textContent));
    for (const paper of papers) {
      const texts = sheets(await page.pdf({ format: paper, printBackground: true }));
      // Front, back, and the verdict with its reasons: the sides of a published sheet.
      // As many as the sheet says; many reasons go over onto one more.
      const said = Number(/page \d+ of (\d+)/.exec(texts[0])[1]);
      const fits = texts.length === said || texts.length === said + 1;
      assert.ok(fits, `${name} on ${paper} has ${texts.length} sides and says ${said}`);
      const all = plain(texts.join(" ")).replaceAll(/\s/g, "");
      const wanted = [outcome, "unsigned", "Candidate: signature, date", "A. Moss (invented)", "E. Rowan (invented)", declared.weather, "The wind had turned.", "INVENTED RIG"];
      for (const text of wanted) assert.ok(all.includes(plain(text).replaceAll(/\s/g, "")), `${paper}: no "${text}"`);
      texts.forEach((text, at) => {
        for (const said of [sentence, ...headlines]) {
          assert.ok(plain(text).includes(plain(said)), `${paper}, side ${at + 1}: no "${said}"`);
        }
      });
    }
    // Lines that wrap beside others come mixed out of a PDF: what is on paper is read in the page.
    const paper = await page.$eval(".paper", (part) => part.textContent);
    for (const act of acts) assert.ok(paper.includes(act), `no "${act}"`);
    const crossed = await page.$$eval(".paper .so-marks .so-box", (boxes) => boxes.filter((box) => box.textContent === "X").length);
    assert.ok(crossed >= acts.length, `${crossed} boxes are crossed for ${acts.length} lines`);
    assert.deepEqual(faults, []);
    await close();
  }
});

test("without script the page says so and offers the paper sheets", async () => {
  const { page, close } = await visit(chromium.browser, `${files}staff/live-flush.html`, {
    setUp: (page) => page.setJavaScriptEnabled(false),
  });
  const text = await page.$eval("body", (body) => body.innerText);
  assert.match(text, /needs a browser that runs the page's script/);
  assert.ok(await page.$('a[href="sheet-flush-engine-7.html"]'));
  await close();
});
