// Practice in the page, as a recruit uses it: from a file and from a web space on loopback, with
// the keyboard alone and by touch, reloaded, without storage, without script, and with an engine
// that breaks down. No request may leave the page's own folder.

import assert from "node:assert/strict";
import { copyFileSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { describe, test } from "node:test";

import { viewed as looks } from "./looks.mjs";
import { site } from "./pages.mjs";
import { stage, visit } from "./web.mjs";

const name = "practice-ten-to-know.html";

const on = stage("crew");
const { folder, places } = on;


/** Asks for the working: it lies in Help, so that no hasty thumb gives up. */
async function giveUp(page) {
  await page.waitForSelector("#help");
  await page.click("#help");
  await (await page.waitForSelector("#give-up", { visible: true })).click();
}

/** The practice page in a browser context of its own. */
const open = (where, { query = "", ...rest } = {}) => visit(on.browser, where + name + query, rest);

const shown = (page) => page.$eval("#engine", (place) => place.innerText);
const until = (page, text) =>
  page.waitForFunction((wanted) => document.getElementById("engine").innerText.includes(wanted), { timeout: 20_000 }, text);
const ready = (page) => page.waitForSelector("#start", { timeout: 20_000 });
const stored = (page) => page.evaluate(() => JSON.stringify(Object.entries(localStorage).sort()));

/** Goes to an element with the tabulator key, as somebody without a pointer does. */
async function tabTo(page, id) {
  for (let steps = 0; steps < 80; steps += 1) {
    if ((await page.evaluate(() => document.activeElement.id)) === id) return;
    await page.keyboard.press("Tab");
  }
  assert.fail(`the tabulator key does not reach #${id}`);
}

async function press(page, id) {
  await tabTo(page, id);
  await page.keyboard.press("Enter");
}

describe("a whole session with the keyboard alone", () => {
  for (const [how, where] of places) {
    test(how, async () => {
      const { page, faults, close } = await open(where());
      await ready(page);
      await press(page, "start");
      for (let number = 1; number <= 8; number += 1) {
        await until(page, `Question ${number} of 8`);
        const said = await page.$eval("#says", (live) => live.textContent);
        assert.ok(said.startsWith(`Question ${number} of 8`), said);
        if (number % 2 === 0) {
          await press(page, "help");
          await press(page, "give-up");
        } else {
          // The answer is there by keyboard: a field, one of several, or steps in order.
          const kind = await page.evaluate(() => {
            const field = document.getElementById("answer");
            return field.type ?? "order";
          });
          if (kind === "radio") {
            await tabTo(page, "answer");
            await page.keyboard.press("Space");
          } else if (kind === "order") {
            const ids = await page.$$eval(".step", (steps) => steps.map((step) => step.id));
            for (const id of ids) await press(page, id);
          } else {
            await tabTo(page, "answer");
            const label = await page.$eval(".field label", (label) => label.innerText);
            await page.keyboard.type(label.includes("min:s") ? "59:59" : "9999");
          }
          await press(page, "check");
        }
        await page.waitForSelector("#verdict");
        assert.equal(await page.evaluate(() => document.activeElement.id), "verdict");
        await press(page, "on");
      }
      await until(page, "The session is done");
      assert.match(await shown(page), /Right at the first answer: \d of 8\./);
      assert.deepEqual(faults, []);
      await close();
    });
  }
});

test("by touch: a slip is named, worked, and asked again with other numbers", async () => {
  // One chance for every run of this test: of few numbers the same may be drawn twice.
  const setUp = (page) => page.evaluateOnNewDocument(() => (Crypto.prototype.getRandomValues = (bytes) => bytes.fill(7)));
  const { page, faults, close } = await open(folder, { touch: true, query: "?question=half-percent", setUp });
  await until(page, "A foam line flows");
  const asked = await page.$eval("#asked", (line) => line.textContent);
  const [, flow, percent] = /flows (\d+)\sgpm at ([\d.]+)\s%/.exec(asked);
  // The percent taken for a share of one: a hundred times too much.
  await page.tap("#answer");
  await page.keyboard.type(`${Number(flow) * Number(percent)} gpm`);
  await page.tap("#check");
  await page.waitForSelector("#verdict.wrong");
  const verdict = await page.$eval("#verdict", (line) => line.textContent);
  assert.match(verdict, /^Not right\. .{20}/);
  assert.ok(await page.$(".worked .board"), "the working is shown");
  await page.tap("#again");
  await until(page, "with other numbers");
  const again = await page.$eval("#asked", (line) => line.textContent);
  assert.notEqual(again, asked);
  const [, more, share] = /flows (\d+)\sgpm at ([\d.]+)\s%/.exec(again);
  await page.tap("#answer");
  await page.keyboard.type(`${(Number(more) * Number(share)) / 100} gpm`);
  await page.tap("#check");
  await page.waitForSelector("#verdict.right");
  for (const button of await page.$$("#engine button")) {
    const { height } = await button.boundingBox();
    assert.ok(height >= 44, `a button is ${height} px high`);
  }
  assert.deepEqual(faults, []);
  await close();
});

describe("a reload in mid-question loses nothing", () => {
  for (const [how, where] of places) {
    test(how, async () => {
      const { page, faults, close } = await open(where(), { query: "?question=half-percent" });
      await until(page, "A foam line flows");
      await page.type("#answer", "0.4");
      const before = await shown(page);
      await page.reload({ waitUntil: "load" });
      await until(page, "A foam line flows");
      assert.equal(await page.$eval("#answer", (field) => field.value), "0.4");
      assert.equal(await shown(page), before);
      assert.deepEqual(faults, []);
      await close();
    });
  }
});

test("every view looks right on a phone, in light and in dark", async () => {
  const { page, faults, close } = await open(folder);
  await ready(page);
  const seen = new Set();
  for (let number = 1; number <= 8; number += 1) {
    await page.click(number === 1 ? "#start" : "#on");
    await until(page, `Question ${number} of 8`);
    const kind = await page.evaluate(() => document.querySelector("#engine fieldset, #engine .steps, #engine .field").className);
    if (!seen.has(kind)) assert.deepEqual(await looks(page), [], kind);
    await giveUp(page);
    await page.waitForSelector("#verdict");
    if (!seen.has(kind)) assert.deepEqual(await looks(page), [], `${kind}, judged`);
    seen.add(kind);
  }
  await page.click("#on");
  await until(page, "The session is done");
  assert.deepEqual(await looks(page), [], "done");
  await page.click("#leave-done");
  await page.waitForSelector("#delete");
  await page.click("#delete");
  await page.waitForSelector("#delete-all");
  assert.deepEqual(await looks(page), [], "delete");
  assert.deepEqual(faults, []);
  await close();
});

test("a code shows the same questions in another browser", async () => {
  const one = await open(folder);
  await ready(one.page);
  await one.page.click("#start");
  await until(one.page, "Question 1 of 8");
  const code = await one.page.$eval(".code", (line) => line.textContent);
  const two = await open(on.web, { width: 1280 });
  await ready(two.page);
  await two.page.type("#code", code.toLowerCase());
  await two.page.keyboard.press("Enter");
  await until(two.page, "Question 1 of 8");
  const asked = (page) => page.$eval("#asked", (line) => line.textContent);
  assert.equal(await asked(two.page), await asked(one.page));
  await one.close();
  await two.close();
});

test("what was practised can be saved and deleted", async () => {
  const { page, faults, close } = await open(on.web);
  await ready(page);
  await page.evaluate(() => {
    window.saved = [];
    HTMLAnchorElement.prototype.click = function () {
      window.saved.push(this.download);
    };
  });
  await page.click("#start");
  await giveUp(page);
  await page.waitForSelector("#verdict");
  await page.click("#leave");
  await page.waitForSelector("#export");
  await page.click("#export");
  await page.waitForFunction(() => window.saved.length > 0);
  assert.deepEqual(await page.evaluate(() => window.saved), ["practice-tarn-valley-foam.json"]);
  assert.match(await stored(page), /practice\/tarn-valley-foam/);
  await page.click("#delete");
  await page.waitForSelector("#delete-all");
  await page.click("#delete-all");
  await until(page, "has been deleted");
  assert.equal(await stored(page), "[]");
  assert.deepEqual(faults, []);
  await close();
});

/** The page works and says that nothing is kept. */
async function worksUnkept(page) {
  await page.waitForSelector("#start", { timeout: 20_000 });
  await page.$eval("#start", (button) => button.click());
  await page.waitForSelector("#give-up");
  await page.$eval("#give-up", (button) => button.click());
  await page.waitForSelector("#verdict");
  await page.waitForFunction(() => document.getElementById("kept").textContent !== "");
  assert.ok(await page.$eval("#kept", (note) => note.getClientRects().length > 0 && note.classList.contains("note")));
}

test("where storage is refused or full the page says so and works on", async () => {
  for (const broken of ["getItem", "setItem"]) {
    const { page, close } = await open(folder, {
      setUp: (page) =>
        page.evaluateOnNewDocument((method) => {
          Storage.prototype[method] = () => {
            throw new DOMException("refused", "QuotaExceededError");
          };
        }, broken),
    });
    await worksUnkept(page);
    await close();
  }
});

test("in a frame without an origin the page says so and works on", async () => {
  const { page, close } = await open(on.web);
  await ready(page);
  await page.setBypassCSP(true);
  await page.goto(on.web + "index.html");
  await page.evaluate((url) => {
    const frame = document.createElement("iframe");
    frame.sandbox = "allow-scripts";
    frame.src = url;
    document.body.append(frame);
  }, on.web + name);
  const frame = await page.waitForFrame((each) => each.url().endsWith(name));
  await worksUnkept(frame);
  await close();
});

test("a lesson with its practice works as one file without its neighbours", async () => {
  const folder = mkdtempSync(join(tmpdir(), "drillwright-sent-"));
  const sent = join(folder, "lesson.html");
  copyFileSync(join(site, "crew/send-why-percent.html"), sent);
  const context = await on.browser.createBrowserContext();
  const page = await context.newPage();
  const faults = [];
  page.on("pageerror", (fault) => faults.push(fault.message));
  page.on("console", (said) => faults.push(said.text()));
  page.on("request", (request) => {
    if (request.url().split("?")[0] !== pathToFileURL(sent).href && !request.url().startsWith("data:")) faults.push(`asks for ${request.url()}`);
  });
  await page.setViewport({ width: 360, height: 780 });
  await page.goto(pathToFileURL(sent).href, { waitUntil: "load" });
  await ready(page);
  assert.deepEqual(await page.$$eval("a[href]", (links) => links.map((link) => link.getAttribute("href")).filter((way) => !/^[#?]/.test(way))), []);
  assert.deepEqual(await looks(page), []);
  await page.click('a[href="?question=half-percent"]');
  await page.waitForSelector("#answer");
  await page.type("#answer", "0.1 gpm");
  await page.reload();
  await page.waitForSelector("#answer");
  assert.equal(await page.$eval("#answer", (field) => field.value), "0.1 gpm");
  await giveUp(page);
  await page.waitForSelector("#verdict");
  assert.deepEqual(faults, []);
  await context.close();
  rmSync(folder, { recursive: true, force: true });
});

test("without script the page says so and offers the printed sheets", async () => {
  const { page, close } = await open(folder, { setUp: (page) => page.setJavaScriptEnabled(false) });
  const text = await page.$eval("body", (body) => body.innerText);
  assert.match(text, /needs a browser that runs the page's script/);
  assert.ok(await page.$('a[href="practice-ten-to-know-1.html"]'));
  await close();
});

test("an engine that breaks down is started again with nothing lost", async () => {
  const { page, close } = await open(folder, {
    query: "?question=half-percent",
    setUp: (page) =>
      page.evaluateOnNewDocument(() => {
        const instantiate = WebAssembly.instantiate;
        window.started = 0;
        WebAssembly.instantiate = async (...given) => {
          const { exports } = await instantiate(...given);
          window.started += 1;
          const call = (...request) => {
            if (window.breaks) {
              window.breaks = false;
              throw new WebAssembly.RuntimeError("unreachable");
            }
            return exports.call(...request);
          };
          return { exports: { ...exports, call } };
        };
      }),
  });
  await until(page, "A foam line flows");
  await page.type("#answer", "0.4");
  const before = await shown(page);
  await page.evaluate(() => (window.breaks = true));
  await page.click("#check");
  await page.waitForFunction(() => !document.getElementById("trouble").hidden && window.started === 2);
  assert.match(await page.$eval("#trouble", (note) => note.textContent), /was started again/);
  await until(page, "A foam line flows");
  assert.equal(await shown(page), before);
  assert.equal(await page.$eval("#answer", (field) => field.value), "0.4");
  await page.click("#check");
  await page.waitForSelector("#verdict");
  assert.equal(await page.$eval("#trouble", (note) => note.hidden), true);
  await close();
});

for (const name of ["crew/page.js", "staff/page.js"]) {
  test(`${name} is short, works nothing out and reads the clock in one place`, () => {
    const script = readFileSync(join(site, name), "utf8");
    assert.ok(script.split("\n").length < 400);
    const code = script.replaceAll(/^\s*\/\/.*$/gm, "");
    for (const never of [/\bMath\b/, /toFixed|toPrecision|toLocaleString|\bIntl\b|NumberFormat/, /innerHTML|outerHTML|insertAdjacentHTML|document\.write/, /\beval\b|new Function/, /parseFloat|parseInt|Number\(/, /fetch\(|XMLHttpRequest|WebSocket|sendBeacon/]) {
      assert.doesNotMatch(code, never);
    }
    const clock = /const clock = [^;]*;/;
    assert.match(code.match(clock)[0], /Date\b/);
    assert.doesNotMatch(code.replace(clock, ""), /Date\b|performance\b/);
    assert.equal(code.match(/getRandomValues/g)?.length, 1);
  });
}

// The one script that may fetch: the engine beside it, and nothing else.
for (const name of ["crew/start.js", "staff/start.js"]) {
  test(`${name} fetches the engine alone`, () => {
    const script = readFileSync(join(site, name), "utf8");
    assert.ok(script.split("\n").length < 100);
    assert.deepEqual(script.match(/fetch\([^)]*\)/g), ["fetch(`${named}.wasm`)"]);
    assert.doesNotMatch(script, /XMLHttpRequest|WebSocket|sendBeacon|\beval\b|new Function|\bMath\b|Date\b|localStorage|indexedDB/);
  });
}
