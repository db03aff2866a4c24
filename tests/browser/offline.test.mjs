// The crew's pages kept on a phone: after one visit they work with the web space gone, and a new
// revision is announced and never swapped under an open page.

import assert from "node:assert/strict";
import { test } from "node:test";

import { stage } from "./web.mjs";

const on = stage("crew");

test("after one visit a whole session works without the web space, and a revision waits", async () => {
  const context = await on.browser.createBrowserContext();
  const page = await context.newPage();
  const faults = [];
  page.on("pageerror", (fault) => faults.push(fault.message));
  page.on("console", (said) => {
    const url = said.location()?.url ?? "";
    if (said.type() === "error" && !url.endsWith("/favicon.ico")) faults.push(`${said.text()} ${url}`);
  });
  await page.goto(on.web + "index.html", { waitUntil: "load" });
  await page.evaluate(() => navigator.serviceWorker.ready.then(() => true));
  await page.waitForFunction(() => navigator.serviceWorker.controller !== null);
  const kept = await page.evaluate(async () => {
    const [name] = await caches.keys();
    return (await (await caches.open(name)).keys()).map((request) => new URL(request.url).pathname);
  });
  assert.ok(kept.length > 30, `${kept.length} files are kept`);
  assert.ok(kept.every((path) => path.startsWith("/crew/")), kept.join("\n"));
  assert.equal(await page.$eval("#revision", (note) => note.hidden), true);

  // Another revision arrives while a page is open.
  on.server.changed.set("/crew/offline.js", (text) => text.replace(/revision = "[^"]+"/, 'revision = "another"'));
  on.server.changed.set("/crew/glossary.html", (text) => text.replace("</h1>", " CHANGED</h1>"));
  await page.evaluate(() => navigator.serviceWorker.getRegistration().then((kept) => kept.update()).then(() => true));
  await page.waitForFunction(() => !document.getElementById("revision").hidden, { timeout: 20_000 });
  await page.goto(on.web + "glossary.html");
  assert.doesNotMatch(await page.$eval("h1", (head) => head.textContent), /CHANGED/);

  // The web space is gone.
  await on.server.close();
  await page.goto(on.web + "practice-ten-to-know.html?question=half-percent");
  await page.waitForSelector("#help", { timeout: 20_000 });
  await page.click("#help");
  await (await page.waitForSelector("#give-up", { visible: true })).click();
  await page.waitForSelector("#verdict");
  assert.deepEqual(faults, []);

  // When the last page is closed the new revision is taken, whole. The browser takes its time.
  await page.close();
  let head = "";
  for (let visit = 0; visit < 20 && !head.includes("CHANGED"); visit += 1) {
    await new Promise((passed) => setTimeout(passed, 500));
    const next = await context.newPage();
    await next.goto(on.web + "glossary.html");
    head = await next.$eval("h1", (head) => head.textContent);
    await next.close();
  }
  assert.match(head, /CHANGED/);
  await context.close();
});
