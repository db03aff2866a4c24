// The pages that run a script, in a second browser: practice and a whole live sheet, from a file
// and from a web space, kept over a reload, printed on one leaf.

import assert from "node:assert/strict";
import { after, before, describe, test } from "node:test";
import puppeteer from "puppeteer-core";

import { begin, down, goesOn, markAll, numbers, saysStored, shown, tap, until, write, finish } from "./live.mjs";
import { plain, sentence } from "./pages.mjs";
import { sheets } from "./print.mjs";
import { files, serve } from "./web.mjs";

let browser, server;
before(async () => {
  browser = await puppeteer.launch({
    browser: "firefox",
    executablePath: process.env.FIREFOX ?? "/usr/bin/firefox-esr",
    headless: true,
  });
  server = await serve();
});
after(async () => {
  await browser?.close();
  await server?.close();
});

async function open(url) {
  const page = await browser.newPage();
  const faults = [];
  page.on("pageerror", (fault) => faults.push(`script: ${fault.message}`));
  page.on("console", (said) => {
    if (["error", "warn"].includes(said.type())) faults.push(`console: ${said.text()}`);
  });
  await page.setViewport({ width: 1000, height: 800 });
  await page.goto(url);
  return { page, faults };
}

describe("practice and a live sheet in Firefox", () => {
  for (const [how, where] of [["from a file", () => files], ["from a web space", () => server.url]]) {
    test(`${how}: practice`, async () => {
      const { page, faults } = await open(`${where()}crew/practice-ten-to-know.html?question=half-percent`);
      await page.waitForSelector("#answer");
      await page.type("#answer", "9999 gpm");
      await page.click("#check");
      await page.waitForSelector("#verdict.wrong");
      assert.ok(await page.$(".worked .board"), "the working is shown");
      assert.deepEqual(faults, []);
      await page.close();
    });

    test(`${how}: a live sheet`, async () => {
      const { page, faults } = await open(`${where()}staff/live-flush.html`);
      await begin(page);
      await markAll(page);
      const before = await down(page);
      await saysStored(page);
      await page.reload();
      await goesOn(page);
      assert.deepEqual(await down(page), before);
      for (const [id, text] of Object.entries(numbers)) await write(page, id, text);
      await finish(page);
      assert.match(await shown(page), /Met this drill's standard on \d{4}-\d\d-\d\d/);
      assert.match(await page.$eval("#handed", (note) => note.textContent), /live-.*-flush-rowan\.json/);
      const sides = sheets(await page.pdf({ format: "Letter", printBackground: true }));
      // Front, back, and the verdict with its reasons.
      assert.ok(sides.length <= 5, `${sides.length} sides`);
      for (const side of sides) assert.ok(plain(side).includes(plain(sentence)), side);
      assert.deepEqual(faults, []);
      await page.close();
    });
  }
});
