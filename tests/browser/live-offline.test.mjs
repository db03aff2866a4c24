// The officers' pages kept on a phone: after one visit a whole live sheet works with the on.web
// space gone. A new revision is announced and never swapped under an open run, which goes on
// with the sheet it began with.

import assert from "node:assert/strict";
import { test } from "node:test";

import {
  begin, declare, downloads, end, finish, goesOn, markAll, numbers, press, ready, save, saysStored, score, settled, shown, tap, until, whole, write,
} from "./live.mjs";
import { stage } from "./web.mjs";

const on = stage("staff");

const sheet = "live-flush.html";
const file = `/staff/${sheet}`;
const action = /"steps":\[\{"do":"[^"]+"/;
/** The sheet of another revision: its first step says something else. */
const revised = (text) => {
  const changed = text.replace(action, '"steps":[{"do":"Say where the flush water goes today."');
  assert.notEqual(changed, text);
  return changed;
};

async function visited() {
  const context = await on.browser.createBrowserContext();
  const page = await context.newPage();
  const faults = [];
  page.on("pageerror", (fault) => faults.push(fault.message));
  page.on("console", (said) => {
    const url = said.location()?.url ?? "";
    if (said.type() === "error" && !url.endsWith("/favicon.ico")) faults.push(`${said.text()} ${url}`);
  });
  await page.goto(on.web + sheet, { waitUntil: "load" });
  await page.evaluate(() => navigator.serviceWorker.ready.then(() => true));
  await page.waitForFunction(() => navigator.serviceWorker.controller !== null);
  return { context, page, faults };
}

const update = (page) =>
  page.evaluate(() => navigator.serviceWorker.getRegistration().then((kept) => kept.update()).then(() => true));

test("a new revision is announced, waits, and leaves an open run as it began", async () => {
  const { context, page, faults } = await visited();
  await begin(page);
  await press(page, "m-bottle-done");
  const first = await page.$eval(".act", (line) => line.textContent);
  on.server.changed.set("/staff/offline.js", (text) => text.replace(/revision = "[^"]+"/, 'revision = "another"'));
  on.server.changed.set(file, revised);
  await update(page);
  await page.waitForFunction(() => !document.getElementById("revision").hidden);
  await saysStored(page);
  await page.reload({ waitUntil: "load" });
  await goesOn(page);
  assert.equal(await page.$eval(".act", (line) => line.textContent), first);
  await page.close();
  // With its last page closed the old revision goes. The browser takes its time.
  let next;
  for (let visit = 0; visit < 20; visit += 1) {
    await new Promise((passed) => setTimeout(passed, 500));
    next = await context.newPage();
    await next.goto(on.web + sheet);
    if (await next.$eval("#kit", (kit) => kit.textContent.includes("flush water goes today"))) break;
    await next.close();
  }
  await goesOn(next);
  await until(next, "compiled anew since the run was opened");
  assert.equal(await next.$eval(".act", (line) => line.textContent), first);
  await next.waitForSelector('#m-bottle-done[aria-pressed="true"]');
  await markAll(next);
  await finish(next);
  await tap(next, "#next");
  await until(next, "1. Who runs?");
  await write(next, "f-candidate", "heather");
  await tap(next, "#begin");
  await goesOn(next);
  assert.match(await next.$eval(".act", (line) => line.textContent), /flush water goes today/);
  assert.deepEqual(faults, []);
  on.server.changed.clear();
  await context.close();
});

test("after one visit a whole run works without the web space", async () => {
  const { context, page, faults } = await visited();
  const handed = await downloads(page);
  await on.server.close();
  await page.reload({ waitUntil: "load" });
  await ready(page);
  await declare(page);
  await tap(page, "#begin");
  await goesOn(page);
  await markAll(page);
  for (const [id, text] of Object.entries(numbers)) await write(page, id, text);
  await end(page);
  await press(page, "as-printed");
  await settled(page, "as-printed");
  await page.reload({ waitUntil: "load" });
  await page.waitForSelector("#back");
  await whole(page);
  await until(page, "Before it is saved");
  await save(page);
  const { verdicts } = score((await handed.next())[1]);
  assert.equal(verdicts[0].outcome, "met");
  assert.ok((await shown(page)).includes(verdicts[0].outcome_text));
  assert.deepEqual(faults, []);
  await handed.close();
  await context.close();
});
