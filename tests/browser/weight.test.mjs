// What a page weighs as it travels: packed by gzip, which the plainest web space does; better ones
// pack tighter. Bytes are held to, times are told: they depend on the machine that looks.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { dirname, join, normalize } from "node:path";
import { describe, test } from "node:test";
import { gzipSync } from "node:zlib";

import { pagesIn, site, source } from "./pages.mjs";
import { stage } from "./web.mjs";

const on = stage("crew");

/** The files that a page loads from a web space, itself among them; what is kept for later is none. */
function loads(name) {
  const text = source(site, name);
  const tags = [...text.matchAll(/<(?:link|script|img)\b[^>]*?\s(?:href|src)="([^"#?]+)"/g)].map(([, file]) => file);
  const engines = [...text.matchAll(/\sdata-engine="([^"]+)"/g)].map(([, file]) => `${file}.wasm`);
  const near = [...tags, ...engines].filter((file) => !file.startsWith("data:"));
  return [name, ...new Set(near.map((file) => normalize(join(dirname(name), file))))];
}

const packed = (file) => gzipSync(readFileSync(join(site, file)), { level: 9 }).length;
const weight = (name) => loads(name).reduce((sum, file) => sum + packed(file), 0);
const named = (pattern) => pagesIn(site).filter((name) => pattern.test(name));
const withEngine = (engine) => pagesIn(site).filter((name) => source(site, name).includes(`data-engine="${engine}"`));

/** A thousand bytes, as networks count. */
const kB = 1000;

describe("what a page loads is small", () => {
  // The engine of practice is 300 of them: decoding, formulas and marking are one program with the
  // compiler's, and what no page of the crew asks (scoring, live sheets, filled sheets) is not in it.
  test("practice", () => {
    const pages = withEngine("engine-practice");
    assert.ok(pages.length > 0);
    for (const name of pages) assert.ok(weight(name) <= 365 * kB, `${name}: ${weight(name)}`);
  });
  // A walk scores what was said so far and works out its values; the page itself is a drill with its rigs.
  test("walks", () => {
    const pages = withEngine("engine-walk");
    assert.ok(pages.length > 0);
    for (const name of pages) {
      assert.ok(weight(name) <= 480 * kB, `${name}: ${weight(name)}`);
      const alone = weight(name) - packed("crew/engine-walk.wasm");
      assert.ok(alone <= 60 * kB, `${name} without its engine: ${alone}`);
    }
  });
  // A live sheet scores what it sees, tells what contradicts itself and prints the filled sheet, all
  // without a network: nothing of that can come later.
  test("live sheets", () => {
    const pages = withEngine("engine-live");
    assert.ok(pages.length > 0);
    for (const name of pages) assert.ok(weight(name) <= 645 * kB, `${name}: ${weight(name)}`);
  });
  test("families, cards and sheets", () => {
    const pages = named(/\/(family|sheet|chain|drill|rig|lesson|run)-[^/]*\.html$/);
    assert.ok(pages.length > 0);
    for (const name of pages) assert.ok(weight(name) <= 60 * kB, `${name}: ${weight(name)}`);
  });
});

/** A page of a browser that was never here: nothing is kept yet. */
async function fresh() {
  const context = await on.browser.createBrowserContext();
  const page = await context.newPage();
  return { page, close: () => context.close() };
}

test("from a web space the engine comes as WebAssembly and its script does not", async () => {
  const { page, close } = await fresh();
  const asked = [];
  page.on("request", (request) => asked.push(request.url().slice(on.web.length)));
  await page.goto(`${on.web}practice-ten-to-know.html?question=half-percent`);
  await page.waitForSelector("#engine #help");
  assert.ok(asked.includes("engine-practice.wasm"), asked.join(" "));
  assert.ok(!asked.includes("engine-practice.js"), asked.join(" "));
  await close();
});

test("where WebAssembly cannot be had the script stands in, and where neither is it is said", async () => {
  on.server.changed.set("/crew/engine-practice.wasm", () => "none");
  let { page, close } = await fresh();
  const url = `${on.web}practice-ten-to-know.html?question=half-percent`;
  await page.goto(url);
  await page.waitForSelector("#engine #help");
  await close();
  on.server.changed.set("/crew/engine-practice.js", () => "");
  ({ page, close } = await fresh());
  await page.goto(url);
  await page.waitForFunction(() => !document.getElementById("trouble").hidden);
  const said = await page.$eval("#trouble", (note) => note.textContent === note.dataset.missing && note.textContent.length > 40);
  assert.ok(said);
  assert.equal(await page.$eval("#engine", (place) => place.textContent), "");
  on.server.changed.clear();
  // It is tried again when the page comes back.
  await page.evaluate(() => document.dispatchEvent(new Event("visibilitychange")));
  await page.waitForSelector("#engine button");
  assert.ok(await page.$eval("#trouble", (note) => note.hidden));
  await close();
});

test("while the engine is on its way the page says so, and not that it is broken", async () => {
  const { page, close } = await fresh();
  await page.setRequestInterception(true);
  let go;
  const held = new Promise((free) => (go = free));
  page.on("request", async (request) => {
    if (request.url().endsWith(".wasm")) await held;
    request.continue();
  });
  await page.goto(`${on.web}practice-ten-to-know.html?question=half-percent`);
  await page.waitForFunction(() => {
    const place = document.getElementById("engine");
    return place.textContent === place.dataset.loading && place.textContent.length > 5;
  });
  assert.ok(await page.$eval("#without", (note) => note.hidden));
  assert.ok(await page.$eval("#trouble", (note) => note.hidden));
  go();
  await page.waitForSelector("#engine #help");
  await close();
});

test("how long a slow phone takes is told", async () => {
  for (const name of ["crew/practice-ten-to-know.html?question=half-percent", "staff/live-flush.html"]) {
    const { page, close } = await fresh();
    const phone = await page.createCDPSession();
    await phone.send("Emulation.setCPUThrottlingRate", { rate: 6 });
    await page.evaluateOnNewDocument(() => {
      const looks = setInterval(() => {
        if (!document.querySelector("#engine button")) return;
        clearInterval(looks);
        window.shownAt = performance.now();
      }, 20);
    });
    await page.goto(on.server.url + name);
    const [shown, network] = await (await page.waitForFunction(() => {
      const ends = [...performance.getEntriesByType("resource"), ...performance.getEntriesByType("navigation")];
      return window.shownAt && [window.shownAt, Math.max(...ends.filter(({ name }) => /html|wasm|(page|start)\.js|plain\.css/.test(name)).map(({ responseEnd }) => responseEnd))];
    }, { timeout: 120_000, polling: 200 })).jsonValue();
    console.log(`${name}: ${Math.round(shown)} ms to the first view, ${Math.round(shown - network)} ms of them after the network, six times slower than this machine; ${weight(name.replace(/\?.*/, ""))} bytes`);
    await close();
  }
});
