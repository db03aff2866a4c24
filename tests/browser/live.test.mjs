// A whole live sheet, from a file and from a web space: by mouse, by the keyboard alone and by
// touch, with stop, watch, chain, next candidate and second evaluator. The saved file gets from
// the program the verdict that the page showed.

import assert from "node:assert/strict";
import { describe, test } from "node:test";

import {
  begin, declare, down, downloads, end, finish, markAll, marks, numbers, press, ready, save, score, shown, tap, until, whole, write,
} from "./live.mjs";
import { stage, visit } from "./web.mjs";

const on = stage("staff");
const { folder, places } = on;

const open = (where, name, more) => visit(on.browser, `${where}live-${name}.html`, { width: 1000, ...more });

/** Outcome and reason as the page shows them are those of the program. */
function agree(page, verdict) {
  for (const said of [verdict.outcome_text, verdict.reason]) {
    assert.ok(page.includes(said), `the page does not say "${said}":\n${page}`);
  }
}

describe("a whole run, saved and scored", () => {
  for (const [how, where] of places) {
    test(how, async () => {
      const { page, faults, close } = await open(where(), "flush");
      const handed = await downloads(page);
      await ready(page);
      await tap(page, "#begin");
      await until(page, "gaps, first");
      await begin(page);
      await markAll(page, /^m-(bottle|freeze)-/);
      await press(page, "m-count-start-prompted");
      await press(page, "m-tank-free-prompted");
      await tap(page, "#undo");
      await page.waitForSelector('#m-tank-free-done[aria-pressed="true"]');
      for (const [id, text] of Object.entries(numbers)) await write(page, id, text);
      await write(page, "f-notes", "Wind from the river.");
      assert.doesNotMatch(await shown(page), /\d points?\b|\d ?%|met this/i, "no running score");
      await tap(page, "#end");
      await until(page, "Steps untouched: 2. Not done, or not seen?");
      await tap(page, "#rest-not-done");
      await page.waitForFunction(() => !document.querySelector("#untouched"));
      await press(page, "as-printed");
      await write(page, "f-words", "I forgot the bottle.");
      await tap(page, "#save");
      await until(page, "Every line of the score");
      const [name, text] = await handed.next();
      assert.match(name, /^live-\d{12}-[a-z]{5}-flush-rowan\.json$/);
      const { verdicts, findings } = score(text);
      assert.deepEqual(findings, []);
      assert.equal(verdicts.length, 1);
      agree(await shown(page), verdicts[0]);
      // What decided stands before everything else that was seen.
      const first = await page.$eval(".so-reasons tbody tr", (line) => line.textContent);
      const heavy = verdicts[0].lines.filter((line) => line.rule !== "result" && !["kept", "noted", "left-out", "not-shown"].includes(line.decision));
      assert.ok(heavy.some((line) => first.includes(line.sentence)), first);
      const log = JSON.parse(text).log;
      assert.ok(log.some((line) => line.includes("undone: step: tank-free, prompted")), log.join("\n"));
      assert.deepEqual(faults, []);
      await handed.close();
      await close();
    });
  }
});

/** Goes to an element with the tabulator key, as somebody without a pointer does. */
async function tabTo(page, id) {
  for (let steps = 0; steps < 200; steps += 1) {
    if ((await page.evaluate(() => document.activeElement.id)) === id) return;
    await page.keyboard.press("Tab");
  }
  assert.fail(`the tabulator key does not reach #${id}`);
}

test("a whole run with the keyboard alone, the focus staying where it was", async () => {
  const { page, faults, close } = await open(folder, "flush");
  const handed = await downloads(page);
  await ready(page);
  const enter = async (id) => {
    await tabTo(page, id);
    await page.keyboard.press("Enter");
    await page.waitForSelector(`[id="${id}"][aria-pressed="true"]`);
    assert.equal(await page.evaluate(() => document.activeElement.id), id);
  };
  const choose = async (id, letters) => {
    await tabTo(page, id);
    await page.keyboard.type(letters);
    await page.waitForFunction((id) => document.getElementById(id).value !== "", {}, id);
  };
  await enter("f-use-practice");
  await enter("f-mode-plain-water");
  await choose("f-rig", "Engine 7");
  await page.waitForSelector('#f-outlet option[value="crosslay-1"]');
  await choose("f-outlet", "Crosslay 1");
  await choose("f-candidate", "A. Moss");
  await choose("f-crew-nozzle", "B. Heather");
  await choose("f-crew-nozzle-2", "C. Bracken");
  await choose("f-crew-officer", "H. Larch");
  await choose("f-evaluator", "E. Rowan");
  for (const [id, text] of [["f-qualification", "course"], ["f-qualified-on", "2025-03-01"], ["f-relation", "none"]]) {
    await tabTo(page, id);
    await page.keyboard.type(text);
  }
  await choose("f-safety-officer", "G. Hazel");
  for (const id of ["f-weather", "f-light"]) {
    await tabTo(page, id);
    await page.keyboard.type("fair");
  }
  await enter("f-later-no");
  await tabTo(page, "begin");
  await page.keyboard.press("Space");
  await page.waitForSelector("#stop");
  assert.equal(await page.evaluate(() => document.activeElement.id), "head");
  await tabTo(page, "whole");
  await page.keyboard.press("Enter");
  await page.waitForSelector(".bar");
  const bar = await page.$eval(".bar", (bar) => bar.getBoundingClientRect().height);
  for (const id of await marks(page)) {
    await enter(id);
    const below = await page.evaluate(() => innerHeight - document.activeElement.getBoundingClientRect().bottom);
    assert.ok(below >= bar - 1, `#${id} lies under the bar`);
  }
  for (const [id, text] of Object.entries(numbers)) {
    if (!(await page.$(`#${id}`))) continue;
    await tabTo(page, id);
    await page.keyboard.type(text);
  }
  await tabTo(page, "end");
  await page.keyboard.press("Enter");
  await page.waitForSelector("#back");
  if (await page.$("#whole")) {
    await tabTo(page, "whole");
    await page.keyboard.press("Enter");
  }
  await until(page, "Before it is saved");
  await enter("as-printed");
  await tabTo(page, "save");
  await page.keyboard.press("Enter");
  await until(page, "Every line of the score");
  assert.equal(await page.evaluate(() => document.activeElement.id), "head");
  const [, text] = await handed.next();
  agree(await shown(page), score(text).verdicts[0]);
  assert.deepEqual(faults, []);
  await handed.close();
  await close();
});

/** Buttons and fields that a gloved finger would miss: under 15 mm. */
const small = (page) =>
  page.evaluate(() => {
    const least = (15 / 25.4) * 96 - 0.5;
    const all = document.querySelectorAll("#engine button, #engine input, #engine select, #engine textarea, #engine summary");
    // Rows that are read on the screen for watching: the next steps, the cautions, the sheet.
    const row = (one) => one.matches(".watch .next button, .watch .haz, .watch .num");
    return [...all]
      .filter((one) => one.getClientRects().length > 0)
      .map((one) => [one.id || one.textContent, one.getBoundingClientRect(), row(one) ? 44 : least])
      .filter(([, { width, height }, least]) => width < least || height < least)
      .map(([name, { width, height }]) => `${name}: ${Math.round(width)} by ${Math.round(height)}`);
  });

/** A contradiction is asked, and goes with the mark that was wrong. */
async function asked(page) {
  await press(page, "m-ask-clear-not-done");
  await until(page, "The sheet speaks against itself.");
  await press(page, "f-flush-settled-clear-on-time-alone-stands-yes");
  assert.deepEqual(await small(page), []);
  await tap(page, "#answer-slip");
  await page.waitForFunction(() => document.activeElement.id === "m-ask-clear-done");
  await press(page, "m-ask-clear-done");
  await page.waitForFunction(() => !document.getElementById("question"));
}

test("by touch: large targets, numbers on the keypad, and nothing lost by a stray tap", async () => {
  const { page, faults, close } = await open(folder, "flush", { touch: true, width: 390, height: 844 });
  const handed = await downloads(page);
  await declare(page);
  assert.deepEqual(await small(page), []);
  await tap(page, "#begin");
  await page.waitForSelector("#stop");
  assert.deepEqual(await small(page), []);
  await whole(page);
  assert.deepEqual(await small(page), []);
  await markAll(page);
  const before = await down(page);
  for (const [x, y] of [[5, 200], [200, 5], [195, 420]]) {
    const on = await page.evaluate((x, y) => document.elementFromPoint(x, y)?.closest("button, input, a, summary"), x, y);
    if (!on) await page.touchscreen.tap(x, y);
  }
  // A hasty finger taps twice; what it meant stays.
  const act = await page.$("[id^='u-']");
  await act.evaluate((one) => one.scrollIntoView({ block: "center" }));
  const { x, y, width, height } = await act.boundingBox();
  await page.mouse.click(x + width / 2, y + height / 2, { count: 2 });
  const twice = await act.evaluate((one) => one.id);
  await page.waitForSelector(`[id="${twice}"][aria-pressed="true"]`);
  await tap(page, "#undo");
  await page.waitForSelector(`[id="${twice}"][aria-pressed="false"]`);
  assert.deepEqual(await down(page), before);

  const [first] = Object.keys(numbers);
  await tap(page, `#${first}`);
  await page.waitForFunction((id) => getComputedStyle(document.querySelector(`#${id} ~ .pad`)).display !== "none", {}, first);
  assert.deepEqual(await small(page), []);
  const under = await page.evaluate(() => {
    const stop = document.getElementById("stop").getBoundingClientRect();
    return document.elementFromPoint(stop.x + stop.width / 2, stop.y + stop.height / 2).id;
  });
  assert.equal(under, "stop", "the keypad leaves STOP free");
  for (const [id, text] of Object.entries(numbers)) {
    assert.equal(await page.evaluate(() => document.activeElement.id), id);
    for (const key of [...text, "7", "⌫"]) {
      const keys = await page.$$(`#${id} ~ .pad button`);
      const labels = await Promise.all(keys.map((one) => one.evaluate((it) => it.textContent)));
      await keys[labels.indexOf(key)].tap();
    }
    await page.waitForFunction((id, text) => document.getElementById(id).value === text, {}, id, text);
    const next = await page.$(`#${id} ~ .pad .first`);
    await next.tap();
    await page.waitForFunction((id) => ![id, ""].includes(document.activeElement.id), {}, id);
  }
  assert.equal(await page.evaluate(() => document.activeElement.id), "numbers");
  await end(page);
  assert.deepEqual(await small(page), []);
  await asked(page);
  await press(page, "as-printed");
  await save(page);
  assert.deepEqual(await small(page), []);
  const [, text] = await handed.next();
  const { verdicts } = score(text);
  agree(await shown(page), verdicts[0]);
  assert.equal(verdicts[0].outcome, "met");
  assert.deepEqual(faults, []);
  await handed.close();
  await close();
});

test("a stop freezes at the first tap, and then asks who, why and of what cause", async () => {
  const { page, faults, close } = await open(folder, "purge");
  const handed = await downloads(page);
  await begin(page, { "crew-nozzle": "heather" });
  const [first, second] = await marks(page);
  await press(page, first);
  await tap(page, "#stop");
  await until(page, "Safe state, in this order:");
  assert.equal(await page.$(`[id="${second}"]`), null, "nothing can be marked");
  await tap(page, "#no-stop");
  await press(page, second);
  await tap(page, "#stop");
  await until(page, "Safe state, in this order:");
  await tap(page, "#end");
  await write(page, "f-stop-by", "hazel");
  await write(page, "f-stop-why", "hose across the road");
  await press(page, "f-stop-cause-outside");
  await finish(page);
  const [, text] = await handed.next();
  const { verdicts } = score(text);
  assert.equal(verdicts[0].outcome, "stopped");
  agree(await shown(page), verdicts[0]);
  assert.deepEqual(faults, []);
  await handed.close();
  await close();
});

test("a chain is one file with a verdict for each drill that was run", async () => {
  const { page, faults, close } = await open(folder, "whole-evolution");
  const handed = await downloads(page);
  await begin(page);
  const drills = await page.$$eval(".drills button", (buttons) => buttons.map((one) => one.id));
  assert.ok(drills.length > 2, `${drills}`);
  for (const drill of drills.slice(0, 2)) {
    await press(page, drill);
    await markAll(page);
  }
  await finish(page);
  const { verdicts } = score((await handed.next())[1]);
  assert.equal(verdicts.length, 2);
  for (const verdict of verdicts) agree(await shown(page), verdict);
  assert.deepEqual(faults, []);
  await handed.close();
  await close();
});

test("the next candidate needs no names, and a second evaluator sees the first's marks only afterwards", async () => {
  const { page, faults, close } = await open(folder, "flush");
  const handed = await downloads(page);
  await begin(page);
  await markAll(page);
  await press(page, "m-bottle-not-done");
  await finish(page);
  const [one] = await handed.next();
  await tap(page, "#second");
  await until(page, "1. Who runs?");
  for (const [id, text] of [["f-evaluator", "alder"], ["f-qualification", "course"], ["f-qualified-on", "2024-03-01"], ["f-relation", "own officer"]]) {
    await write(page, id, text);
  }
  await tap(page, "#begin");
  await page.waitForSelector("#stop");
  assert.deepEqual((await down(page)).filter((id) => /^[mc]-/.test(id)), [], "nothing of the first evaluator shows");
  await tap(page, "#all-done");
  for (const id of await marks(page)) if (id.startsWith("c-")) await press(page, id);
  await end(page);
  await tap(page, "#save");
  await until(page, "Where the two evaluators differ");
  const table = await page.$eval("#differences ~ .wide", (part) => part.innerText);
  assert.match(table, /bottle/);
  const [two] = await handed.next();
  assert.notEqual(one, two);
  await tap(page, "#next");
  await until(page, "1. Who runs?");
  await tap(page, "#change");
  await page.waitForSelector("#f-candidate");
  const kept = await page.$$eval("#engine select, #engine input", (fields) => Object.fromEntries(fields.map((one) => [one.id, one.value])));
  assert.equal(kept["f-candidate"], "");
  assert.equal(kept["f-rig"], "engine-7");
  assert.equal(kept["f-weather"], "dry, light wind");
  await write(page, "f-candidate", "heather");
  await press(page, "f-later-no");
  await tap(page, "#begin");
  await page.waitForSelector("#stop");
  assert.deepEqual(faults, []);
  await handed.close();
  await close();
});
