// Search over the crew's pages, from a folder without a server.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";

import { open, start } from "./browser.mjs";
import { site } from "./pages.mjs";

let chromium;
before(async () => (chromium = await start()));
after(() => chromium?.close());

const titles = (page) => page.$$eval("#found a", (links) => links.map((link) => link.textContent));
const said = (page) => page.$eval("#count", (at) => at.textContent);

test("the index leads to what was asked for", async () => {
  const { page } = await open(chromium.browser, site, "crew/index.html", 390);
  await page.type("#find", "air foam kick");
  await Promise.all([page.waitForNavigation(), page.keyboard.press("Enter")]);
  assert.match(page.url(), /search\.html\?q=/);
  const found = await titles(page);
  assert.equal(found[0], "Air without foam makes the nozzle kick");
  // What may hurt somebody stands first.
  const kinds = await page.$$eval("#found > li > .n", (all) => all.map((one) => one.textContent));
  assert.equal(kinds[0], "Caution");
  const marks = await page.$$eval("#found > li:first-child mark", (all) => all.map((one) => one.textContent));
  assert.ok(marks.includes("kick"), marks.join(" "));
  await page.close();
});

test("each word must be there, by its beginning; nothing found is said", async () => {
  const { page } = await open(chromium.browser, site, "crew/search.html", 390);
  await page.type("#find", "PROPORT");
  assert.ok((await titles(page)).length > 3);
  await page.type("#find", " zzz");
  assert.deepEqual(await titles(page), []);
  assert.match(await said(page), /^Nothing/);
  await page.$eval("#find", (field) => {
    field.value = "";
    field.dispatchEvent(new Event("input"));
  });
  assert.equal(await said(page), "");
  await page.close();
});

test("a passage opens at its place", async () => {
  const { page } = await open(chromium.browser, site, "crew/search.html", 390);
  await page.type("#find", "declare the water clear");
  await Promise.all([page.waitForNavigation(), page.click("#found a")]);
  const there = await page.evaluate(() => document.getElementById(location.hash.slice(1))?.textContent);
  assert.match(there, /[Dd]eclare/);
  await page.close();
});

test("what is typed is text, never a page", async () => {
  const { page } = await open(chromium.browser, site, "crew/search.html", 390);
  await page.type("#find", "<img src=x onerror=alert(1)>");
  assert.equal(await page.$$eval("#found img", (all) => all.length), 0);
  assert.match(await said(page), /^Nothing/);
  await page.close();
});
