// What a live sheet keeps: through a killed browser, a reload and a second tab, with storage
// refused, full or without an origin, with an engine that breaks down, a device clock that is set,
// the network gone and a new revision arriving.

import assert from "node:assert/strict";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { describe, test } from "node:test";

import { launch } from "./browser.mjs";
import {
  begin, down, downloads, goesOn, marks, markAll, numbers, press, ready, saysStored, score, settled, shown, tap, until, write, finish,
} from "./live.mjs";
import { stage, visit } from "./web.mjs";

const on = stage("staff");
const { folder, places } = on;

const sheet = "live-flush.html";
const open = (where, more) => visit(on.browser, where + sheet, { width: 1000, ...more });

/** The example has no drill against the watch; this one has. */
const timed = (text) => {
  const time = {
    within: "60 s", "starts-at": "brake set", "stops-at": "line charged", watch: "evaluator", resolution: "1 s",
    source: "Training order 12 (invented)", holds: ["hydrant frozen"],
  };
  // The first drill of the kit, whatever stands before it there.
  const drill = /"drills":\[\{.*?"drill":\{/s;
  const changed = text.replace(drill, (found) => `${found}"time":${JSON.stringify(time)},`);
  assert.notEqual(changed, text, "the sheet has no place for a time");
  return changed;
};

describe("a browser killed one second after \"stored\" loses nothing", () => {
  for (const [how, where] of places) {
    test(how, async () => {
      const profile = mkdtempSync(join(tmpdir(), "drillwright-killed-"));
      on.server.changed.set(`/staff/${sheet}`, timed);
      try {
        const first = await launch(profile);
        const { page } = await visit(first, where() + sheet, { context: first.defaultBrowserContext() });
        await begin(page);
        const [one, two, three] = await marks(page);
        await press(page, one);
        await press(page, two);
        const watched = (await page.$("#clock")) !== null;
        if (watched) await tap(page, "#watch ~ .buttons button");
        await write(page, "f-notes", "killed in the middle");
        await settled(page, "killed in the middle");
        await saysStored(page);
        await new Promise((passed) => setTimeout(passed, 1000));
        const gone = new Promise((done) => first.process().once("exit", done));
        first.process().kill("SIGKILL");
        await gone;
        const second = await launch(profile);
        const again = await visit(second, where() + sheet, { context: second.defaultBrowserContext() });
        await goesOn(again.page);
        const kept = await down(again.page);
        assert.deepEqual([one, two, three].map((id) => kept.includes(id)), [true, true, false]);
        assert.equal(await again.page.$eval("#f-notes", (field) => field.value), "killed in the middle");
        assert.equal(watched, where() === on.web);
        if (watched) {
          await until(again.page, "The page was loaded again while the watch ran.");
          const told = await again.page.$eval("#clock", (clock) => clock.textContent);
          assert.notEqual(told, "0:00");
        }
        await press(again.page, three);
        assert.deepEqual(again.faults, []);
        await second.close();
      } finally {
        on.server.changed.clear();
        rmSync(profile, { recursive: true, force: true, maxRetries: 5 });
      }
    });
  }
});

test("a reload and a second tab go on with the same run", async () => {
  const { page, faults, close } = await open(on.web);
  await begin(page);
  const [one, two] = await marks(page);
  await press(page, one);
  await saysStored(page);
  await page.reload({ waitUntil: "load" });
  await goesOn(page);
  assert.ok((await down(page)).includes(one));
  const other = await visit(on.browser, on.web + sheet, { context: page.browserContext() });
  await goesOn(other.page);
  await press(other.page, two);
  // The first tab learns of it with its next tap, and takes nothing of it back.
  await page.bringToFront();
  await tap(page, "[id^='u-']");
  await page.waitForSelector(`[id="${two}"][aria-pressed="true"]`);
  assert.deepEqual([...faults, ...other.faults], []);
  await close();
});

/** The page says that nothing is kept, hands over what there is, and saves with a file. */
async function worksUnkept(page, next) {
  await begin(page);
  await until(page, "The run lives in this open page only.");
  assert.match(await page.$eval("#kept", (note) => note.textContent), /^Not stored/);
  const all = await marks(page);
  await press(page, all[0]);
  await tap(page, "#rescue");
  const [, rescued] = await next();
  assert.ok(JSON.parse(rescued).marks, rescued.slice(0, 200));
  await markAll(page);
  for (const [id, text] of Object.entries(numbers)) await write(page, id, text);
  await finish(page);
  const { verdicts } = score((await next())[1]);
  assert.ok((await shown(page)).includes(verdicts[0].reason));
}

test("where storage is refused the page says so, hands the file over and works on", async () => {
  const { page, faults, close } = await open(folder, {
    setUp: (page) =>
      page.evaluateOnNewDocument(() => {
        IDBFactory.prototype.open = () => {
          throw new DOMException("refused", "SecurityError");
        };
      }),
  });
  const handed = await downloads(page);
  await worksUnkept(page, handed.next);
  assert.deepEqual(faults, []);
  await handed.close();
  await close();
});

test("where storage is full from the start the page says so, hands the file over and works on", async () => {
  const { page, faults, close } = await open(on.web, {
    setUp: async (page) => {
      const session = await page.createCDPSession();
      await session.send("Storage.overrideQuotaForOrigin", { origin: new URL(on.web).origin, quotaSize: 1 });
    },
  });
  const handed = await downloads(page);
  await worksUnkept(page, handed.next);
  assert.deepEqual(faults, []);
  await handed.close();
  await close();
});

test("where storage runs full in mid-run the page says so and nothing is lost", async () => {
  const { page, faults, close } = await open(folder, {
    setUp: (page) =>
      page.evaluateOnNewDocument(() => {
        const put = IDBObjectStore.prototype.put;
        IDBObjectStore.prototype.put = function (...given) {
          if (window.full) throw new DOMException("full", "QuotaExceededError");
          return put.apply(this, given);
        };
      }),
  });
  const handed = await downloads(page);
  await begin(page);
  const [one, two] = await marks(page);
  await press(page, one);
  await page.evaluate(() => (window.full = true));
  await press(page, two);
  await until(page, "The run lives in this open page only.");
  assert.ok((await down(page)).includes(one) && (await down(page)).includes(two), "nothing is lost");
  await tap(page, "#rescue");
  const rescued = JSON.parse((await handed.next())[1]);
  assert.equal(Object.values(rescued.marks).filter((mark) => mark === "done").length, 2);
  await markAll(page);
  await finish(page);
  const { verdicts } = score((await handed.next())[1]);
  assert.ok((await shown(page)).includes(verdicts[0].reason));
  assert.deepEqual(faults, []);
  await handed.close();
  await close();
});

test("in a frame without an origin the page says so and works on", async () => {
  const { page, close } = await open(on.web);
  await ready(page);
  const handed = await downloads(page);
  await page.setBypassCSP(true);
  await page.goto(`${on.web}index.html`);
  await page.evaluate((url) => {
    const frame = document.createElement("iframe");
    frame.sandbox = "allow-scripts allow-downloads";
    frame.src = url;
    frame.width = 900;
    frame.height = 700;
    document.body.prepend(frame);
  }, on.web + sheet);
  const frame = await page.waitForFrame((each) => each.url().endsWith(sheet));
  await worksUnkept(frame, handed.next);
  await handed.close();
  await close();
});

test("an engine that breaks down is started again with nothing lost", async () => {
  const { page, close } = await open(folder, {
    setUp: (page) =>
      page.evaluateOnNewDocument(() => {
        const instantiate = WebAssembly.instantiate;
        WebAssembly.instantiate = async (...given) => {
          const { exports } = await instantiate(...given);
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
  await begin(page);
  const [one, two] = await marks(page);
  await press(page, one);
  await page.evaluate(() => (window.breaks = true));
  await tap(page, `[id="${two}"]`);
  await page.waitForFunction(() => !document.getElementById("trouble").hidden);
  assert.match(await page.$eval("#trouble", (note) => note.textContent), /was started again/);
  assert.ok((await down(page)).includes(one));
  await press(page, two);
  // The note goes once the tap is stored, which is after its button shows.
  await page.waitForFunction(() => document.getElementById("trouble").hidden);
  await close();
});

test("the watch holds, and a device clock that is set does not move it", async () => {
  on.server.changed.set(`/staff/${sheet}`, timed);
  const { page, faults, close } = await open(on.web, {
    setUp: (page) =>
      page.evaluateOnNewDocument(() => {
        const now = Date.now;
        Date.now = () => now() + (window.ahead ?? 0);
      }),
  });
  on.server.changed.clear();
  await begin(page);
  const key = async (text) => {
    const keys = await page.$$("#watch ~ .buttons button");
    for (const one of keys) if ((await one.evaluate((it) => it.textContent)).includes(text)) return one.click();
    assert.fail(`no button says ${text}`);
  };
  await key("brake set");
  await page.waitForFunction(() => document.getElementById("clock").textContent === "0:01");
  await page.evaluate(() => (window.ahead = 3_600_000));
  await key("hydrant frozen");
  await until(page, "The device's clock was set during this run.");
  await page.waitForFunction(() => document.getElementById("clock").textContent.includes("held"));
  await key("The delay is over");
  await key("line charged");
  await until(page, "The device's clock was set during this run.");
  const told = await page.$eval("#clock", (clock) => clock.textContent);
  assert.match(told, /^0:0\d, of which 0:0\d held$/);
  assert.deepEqual(faults, []);
  await close();
});

test("the screen stays awake while a run is open, where the device can", async () => {
  const { page, faults, close } = await open(folder, {
    setUp: (page) =>
      page.evaluateOnNewDocument(() => {
        window.locks = [];
        const request = async (kind) => {
          window.locks.push(`${kind} on`);
          return { release: async () => void window.locks.push(`${kind} off`) };
        };
        Object.defineProperty(navigator, "wakeLock", { value: { request } });
      }),
  });
  await ready(page);
  assert.deepEqual(await page.evaluate(() => window.locks), []);
  await begin(page);
  await page.waitForFunction(() => window.locks.length > 0);
  await markAll(page);
  await finish(page);
  const told = await page.evaluate(() => window.locks);
  assert.equal(told[0], "screen on");
  assert.equal(told.at(-1), "screen off");
  assert.deepEqual(faults, []);
  await close();
});
