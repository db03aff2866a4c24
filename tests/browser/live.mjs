// Drives a live sheet as an officer at the panel does: declares a run, marks it, saves it, and
// takes the file.

import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";

const root = resolve(dirname(fileURLToPath(import.meta.url)), "../..");
const program = process.env.DRILLWRIGHT ?? join(root, ".target/checked/drillwright");

/** A run's declarations: field and what stands in it. */
export const declared = {
  rig: "engine-7",
  outlet: "crosslay-1",
  candidate: "moss",
  "crew-nozzle": "heather",
  "crew-nozzle-2": "bracken",
  "crew-officer": "larch",
  "crew-line-walker": "larch",
  "crew-hydrant": "sedge",
  evaluator: "rowan",
  qualification: "district evaluator course 2025 (invented)",
  "qualified-on": "2025-03-01",
  relation: "other station",
  "safety-officer": "hazel",
  weather: "dry, light wind",
  light: "daylight",
};

/** Numbers of a flush that meets the standard of the example. */
export const numbers = {
  "f-flush-reading-flow-read": "125",
  "f-flush-reading-percent-set": "0.5",
  "f-flush-reading-foam-used": "3.2",
  "f-flush-reading-water-used": "630",
  "f-flush-measure-flush-time": "48",
  "f-flush-measure-flush-water": "100",
};

const patient = { timeout: 20_000 };

/** The page stands ready for declarations. */
export const ready = (page) => page.waitForSelector("#begin", patient);

/** What the engine shows, as a person reads it. */
export const shown = (page) => page.$eval("#engine", (place) => place.innerText);

/** Waits until the engine shows a text. */
export const until = (page, text) =>
  page.waitForFunction((wanted) => document.getElementById("engine").innerText.includes(wanted), patient, text);

/** Taps or clicks in the middle of an element that has been scrolled clear of the bar. */
export async function tap(page, selector) {
  const touch = page.viewport?.()?.hasTouch;
  // A busy machine draws a view several times while it is aimed at; longer than this it is no drawing.
  const until = Date.now() + patient.timeout;
  for (;;) {
    const element = await page.waitForSelector(selector, patient);
    try {
      // A text that is just changing moves what stands below it: nobody aims at a key that moves.
      await element.evaluate(async (one) => {
        one.scrollIntoView({ block: "center" });
        const place = () => {
          const { left, top } = one.getBoundingClientRect();
          return `${left} ${top}`;
        };
        for (let before = ""; before !== place(); ) {
          before = place();
          await new Promise((go) => setTimeout(go, 30));
        }
      });
      return await (touch ? element.tap() : element.click());
    } catch (fault) {
      // A view that is just being drawn may have put another element of that name in its place, or
      // has not yet given it a place.
      if (!/detached|not clickable/.test(fault.message) || Date.now() > until) throw fault;
    }
  }
}

/** Goes to the whole sheet where an element stands on it alone, and not on what is looked at. */
async function reach(page, id) {
  if (await page.$(`[id="${id}"]`)) return;
  if (await page.$('#change[aria-expanded="false"]')) return tap(page, "#change");
  if (!(await page.$("#whole"))) return;
  await tap(page, "#whole");
  await page.waitForFunction(() => !document.querySelector(".watch"), patient);
}

/** Presses a button that stays down, and waits until it does. */
export async function press(page, id) {
  await reach(page, id);
  await tap(page, `[id="${id}"]`);
  await page.waitForSelector(`[id="${id}"][aria-pressed="true"]`, patient);
}

/**
 * Fills a field in: a list by its value, a line by typing, or all of it in one go as a keyboard does that
 * guesses the words. Each letter that is typed is a tap to be taken, drawn and stored.
 */
export async function write(page, id, text, { letters = true } = {}) {
  const name = `[id="${id}"]`;
  await reach(page, id);
  const field = await page.waitForSelector(name, patient);
  if ((await field.evaluate((one) => one.localName)) === "select") {
    await page.waitForSelector(`${name} option[value="${text}"]`, patient);
    await page.select(name, text);
  } else {
    await field.focus();
    await field.evaluate((one) => one.select());
    // Firefox is told of letters alone.
    if (letters || !page.keyboard?.sendCharacter || page.browser().process()?.spawnfile.includes("firefox")) await field.type(text);
    else await page.keyboard.sendCharacter(text);
  }
}

/** Declares a run, all but the start. Letters are typed where a run is marked, written up and gone on with. */
export async function declare(page, { use = "evaluation", mode = "training-foam", later = "no", ...others } = {}) {
  await ready(page);
  if (await page.$('#change[aria-expanded="false"]')) await tap(page, "#change");
  await page.waitForSelector("#f-use-evaluation", patient);
  await press(page, `f-use-${use}`);
  await press(page, `f-mode-${mode}`);
  await press(page, `f-later-${later}`);
  for (const [field, text] of Object.entries({ ...declared, ...others })) {
    if (await page.$(`[id="f-${field}"]`)) await write(page, `f-${field}`, text, { letters: false });
  }
}

/** Declares a run and begins it; the whole sheet is shown, on which everything can be marked. */
export async function begin(page, others) {
  await watch(page, others);
  await whole(page);
}

/** Declares a run and begins it; the first step is shown. */
export async function watch(page, others) {
  await declare(page, others);
  await tap(page, "#begin");
  await page.waitForSelector("#stop", patient);
}

/** Shows everything on one page, in a run and after it. */
export async function whole(page) {
  if (!(await page.$("#whole"))) return;
  await tap(page, "#whole");
  await page.waitForFunction(() => !document.querySelector(".watch"), patient);
}

/** A page that goes on with an open run, with everything on one page. */
export async function goesOn(page) {
  await page.waitForSelector("#stop", patient);
  await whole(page);
}

/** To the end of the sheet, on one page: what is asked one by one is left for later. */
export async function end(page) {
  await tap(page, "#end");
  await page.waitForSelector("#back", patient);
  await whole(page);
  await until(page, "Before it is saved");
}

/** Ends a run, in the order that is printed, and saves it as it stands. */
export async function finish(page) {
  await end(page);
  await press(page, "as-printed");
  await save(page);
}

/** Saves a run that has been looked through. */
export async function save(page) {
  await tap(page, "#save");
  await until(page, "Every line of the score");
}

/** Ids of the buttons that mark a cue given. */
export const cues = (page) =>
  page.$$eval("#engine button[aria-pressed]", (buttons) =>
    buttons.map((one) => one.id).filter((id) => /^q-.*-given$/.test(id) && !id.endsWith("-not-given")));

/** Ids of the buttons that mark something done, or that it did not happen. */
export const marks = (page) =>
  page.$$eval("#engine button[aria-pressed]", (buttons) =>
    buttons.map((one) => one.id).filter((id) => (/^m-.*-done$/.test(id) && !id.endsWith("-not-done")) || /^c-.*-no$/.test(id)));

/** Gives all cues and marks all steps done and that no critical happened, but for those that match. */
export async function markAll(page, but = /^$/) {
  for (const id of await cues(page)) await press(page, id);
  for (const id of await marks(page)) if (!but.test(id)) await press(page, id);
}

/** All that stays down, by id. */
export const down = (page) =>
  page.$$eval('#engine [aria-pressed="true"]', (buttons) => buttons.map((one) => one.id));

/** What the browser has stored for live sheets, by key. */
export const stored = (page) =>
  page.evaluate(async () => {
    const settled = (request) => new Promise((done, fail) => {
      request.onsuccess = () => done(request.result);
      request.onerror = () => fail(request.error);
    });
    const base = await settled(indexedDB.open("drillwright-live", 1));
    const kept = base.transaction("kept").objectStore("kept");
    const [keys, texts] = await Promise.all([settled(kept.getAllKeys()), settled(kept.getAll())]);
    base.close();
    return Object.fromEntries(keys.map((key, at) => [key, texts[at]]));
  });

/** The page says that all of it is stored; before that a reload may bring back a tap less. */
export const saysStored = (page) =>
  page.waitForFunction(() => {
    const kept = document.getElementById("kept");
    return kept.textContent === kept.dataset.stored;
  }, patient);

/** Everything written has reached the disk: the last letters of it are in the stored log. */
export async function settled(page, text) {
  for (;;) {
    const run = Object.entries(await stored(page)).find(([key]) => key.endsWith("/run"));
    if (run?.[1].includes(text)) return;
    await new Promise((passed) => setTimeout(passed, 50));
  }
}

/** Has files of a page saved into a folder of their own; `next()` is the name and text of one. */
export async function downloads(page) {
  const folder = mkdtempSync(join(tmpdir(), "drillwright-live-"));
  const session = await page.browser().target().createCDPSession();
  const arrived = [];
  const names = new Map();
  let wake = () => {};
  session.on("Browser.downloadWillBegin", ({ guid, suggestedFilename }) => names.set(guid, suggestedFilename));
  session.on("Browser.downloadProgress", ({ guid, state }) => {
    // The browser tells of every context's files.
    if (state !== "completed" || !existsSync(join(folder, guid))) return;
    arrived.push([names.get(guid), readFileSync(join(folder, guid), "utf8")]);
    wake();
  });
  await session.send("Browser.setDownloadBehavior", {
    behavior: "allowAndName",
    browserContextId: page.browserContext().id,
    downloadPath: folder,
    eventsEnabled: true,
  });
  return {
    async next() {
      while (arrived.length === 0) await new Promise((ready) => (wake = ready));
      return arrived.shift();
    },
    async close() {
      await session.detach();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

/** What the program makes of a saved file: the verdicts, as data. */
export function score(text) {
  const folder = mkdtempSync(join(tmpdir(), "drillwright-score-"));
  try {
    const file = join(folder, "run.json");
    writeFileSync(file, text);
    // A run that is open or refused has its verdict all the same, and ends with 1.
    const { stdout, status } = spawnSync(program, ["score", file, "--format", "json"], { cwd: root, encoding: "utf8", maxBuffer: 1 << 26 });
    assert.ok(status === 0 || status === 1, `${status}`);
    return JSON.parse(stdout);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
