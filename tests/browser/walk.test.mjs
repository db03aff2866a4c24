// A drill walked through in the page, as a recruit walks it: by touch and by keyboard to the end, with
// an act that would hurt somebody on the way, reloaded in the middle, from a folder and from a web
// space. Which act is right is read from the drill's own kit, and never from the view.

import assert from "node:assert/strict";
import { describe, test } from "node:test";

import { pagesIn, site, source } from "./pages.mjs";
import { stage, visit } from "./web.mjs";

const name = "walk-startup.html";

const on = stage("crew");
const { folder, places } = on;

const open = (where, rest = {}) => visit(on.browser, where + name, rest);
const shown = (page) => page.$eval("#engine", (place) => place.innerText);
const has = async (page, id) => (await page.$(`[id="${id}"]`)) !== null;

/** The drill as the page carries it. */
const drill = JSON.parse(/<script type="application\/json" id="kit">(.*?)<\/script>/s.exec(source(site, `crew/${name}`))[1]).standard.drill;
const steps = drill.steps.map(({ step }) => step);

/** Steps that come before others, whatever asks for it. */
const orders = [
  ...drill.criticals.flatMap(({ links }) => links.flatMap(({ order, then }) => (then ?? []).map((later) => [order, later]))),
  ...(drill.order ?? []).map(({ first, then }) => [first, then]),
];

/** Something is touched, or reached with the tabulator key; then the view that comes of it is awaited. */
async function tap(page, id, how) {
  const before = await page.$eval("#engine", (place) => place.innerHTML);
  const at = `[id="${id}"]`;
  await page.waitForSelector(at);
  if (how === "touch") {
    await page.$eval(at, (key) => key.scrollIntoView({ block: "center" }));
    await page.tap(at);
  } else {
    let steps = 0;
    while ((await page.evaluate(() => document.activeElement.id)) !== id) {
      await page.keyboard.press("Tab");
      assert.ok((steps += 1) < 60, `the tabulator key does not reach #${id}`);
    }
    await page.keyboard.press("Enter");
  }
  await page.waitForFunction((old) => document.getElementById("engine").innerHTML !== old, {}, before);
}

const acts = (page) => page.$$eval("[id^='act-']", (keys) => keys.map(({ id }) => id.slice(4)));

/** Steps whose doing would break an order that a critical rests on. */
const hurts = (done, offered) =>
  offered.filter((act) => drill.criticals.some(({ links }) => links.some(({ order, then }) => (then ?? []).includes(act) && !done.includes(order))));

/** Walks on until `stop` says so, or to the end; what was told of harm is collected. */
async function walk(page, how, { done, harms, stop = () => false }) {
  for (let taps = 0; taps < 200; taps += 1) {
    if (await has(page, "another")) return;
    if (await has(page, "on")) {
      harms.push(await shown(page));
      await tap(page, "on", how);
    } else if (await has(page, "aloud")) await tap(page, "aloud", how);
    else if (await has(page, "whole")) await tap(page, "whole", how);
    else if (await has(page, "call-again")) await tap(page, "call-again", how);
    else if (await has(page, "give-up")) await tap(page, "give-up", how);
    else {
      if (stop()) return;
      const offered = await acts(page);
      const bad = hurts(done, offered);
      const due = offered
        .filter((act) => !bad.includes(act) && orders.every(([first, then]) => then !== act || done.includes(first) || !steps.includes(first)))
        .sort((one, other) => steps.indexOf(one) - steps.indexOf(other));
      const answers = due.filter((act) => drill.steps.find(({ step }) => step === act).cue);
      if (harms.length === 0 && bad.length > 0) {
        await tap(page, `act-${bad[0]}`, how);
        assert.ok(await has(page, "on"), "a harmful act is told at once");
        continue;
      }
      const next = answers[0] ?? due[0];
      if (next) done.push(next);
      await tap(page, next ? `act-${next}` : "end", how);
    }
  }
  assert.fail(`no end: ${await shown(page)}`);
}

describe("a value typed in", () => {
  for (const [where, at] of places) {
    test(`beyond every hose, ${where}`, async () => {
      const { page, faults, close } = await open(at(), { touch: true });
      await page.waitForSelector("#begin-engine-7-operator");
      await tap(page, "begin-engine-7-operator", "touch");
      for (let taps = 0; !(await has(page, "value")); taps += 1) {
        assert.ok(taps < 60, "no value is asked");
        if (await has(page, "on")) await tap(page, "on", "touch");
        else if (await has(page, "aloud")) await tap(page, "aloud", "touch");
        else if (await has(page, "whole")) await tap(page, "whole", "touch");
        else if (await has(page, "call-again")) await tap(page, "call-again", "touch");
        else {
          const offered = await acts(page);
          await tap(page, `act-${steps.find((step) => offered.includes(step))}`, "touch");
        }
      }
      await page.type("#value", "600");
      await page.keyboard.press("Enter");
      await page.waitForSelector("#on");
      // What would happen is told at once, and the walk goes on from the safe state.
      assert.match(await shown(page), /hose can burst/);
      await tap(page, "on", "touch");
      assert.ok(!(await has(page, "on")));
      assert.doesNotMatch(await page.$eval("body", (body) => body.innerText), /cannot read/);
      assert.deepEqual(faults, []);
      await close();
    });
  }
});

describe("a walk by touch and one by keyboard, with a broken link on the way", () => {
  for (const [where, at] of places) {
    for (const how of ["touch", "keyboard"]) {
      test(`${how}, ${where}`, async () => {
        const { page, faults, close } = await open(at(), { touch: how === "touch" });
        await page.waitForSelector("#begin-engine-7-operator");
        await tap(page, "begin-engine-7-operator", how);
        const [done, harms] = [[], []];
        await walk(page, how, { done, harms, stop: () => done.length > 6 });
        // Whoever listens is told what happened, and begins at the question.
        assert.equal(await page.evaluate(() => document.activeElement.id), "head");
        assert.match(await page.$eval("#says", (live) => live.textContent), /^\S.{20}/);
        // The page is loaded again in the middle, and the walk stands where it was.
        const [before, offered] = [await shown(page), await acts(page)];
        await page.reload({ waitUntil: "load" });
        await page.waitForSelector("#end");
        assert.deepEqual(await acts(page), offered);
        assert.equal(await shown(page), before);
        await walk(page, how, { done, harms });
        const [harm] = harms;
        const critical = drill.criticals.find(({ act }) => harm.includes(act));
        assert.ok(critical && harm.includes(critical.reason), harm);
        for (const line of drill.stop["safe-state"]) assert.ok(harm.includes(line), line);
        const end = await shown(page);
        assert.match(end, /Nothing was done at a rig/);
        assert.match(end, /not as the standard asks/);
        assert.doesNotMatch(end, /\bMet this drill/);
        assert.ok(end.includes(critical.act) || end.includes(critical.reason), end);
        // Each step with its reason, and where to read again.
        assert.ok(end.includes(drill.steps[0].why));
        assert.ok((await page.$$(".over .links a")).length > 0);
        await tap(page, "another", how);
        await page.waitForSelector("#end");
        assert.deepEqual(faults, []);
        await close();
      });
    }
  }
});

test("keys are 15 mm high, what was told is told aloud, and the gravest caution stays in view", async () => {
  const { page, faults, close } = await open(folder, { touch: true });
  await page.waitForSelector("#begin-engine-7-operator");
  await tap(page, "begin-engine-7-operator", "touch");
  for (const key of await page.$$("#engine .step")) {
    const { height } = await key.boundingBox();
    assert.ok(height >= 56.7, `a key is ${height} px high`);
  }
  await page.$eval("#end", (key) => key.scrollIntoView());
  const gravest = await (await page.$(".gravest")).boundingBox();
  assert.ok(gravest.y >= 0 && gravest.y < 100, `the gravest caution stands at ${gravest.y}`);
  assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), "sideways");
  assert.deepEqual(faults, []);
  await close();
});

test("the drawing follows what was done", async () => {
  const { page, faults, close } = await open(folder);
  await page.waitForSelector("#begin-engine-7-operator");
  await tap(page, "begin-engine-7-operator", "keyboard");
  const foam = () => page.$eval(".way", ({ dataset }) => dataset.foam);
  const dots = () => page.$$eval(".way .dots", (all) => all.filter((one) => getComputedStyle(one).display !== "none").length);
  assert.equal(await foam(), "off");
  assert.equal(await dots(), 0);
  assert.ok(await page.$(".way svg[role=img]"), "the drawing is there");
  const [done, harms] = [[], ["none"]];
  await walk(page, "keyboard", { done, harms, stop: () => done.includes("foam-confirmed") && !done.includes("lost-reset") });
  const text = await shown(page);
  assert.equal(await foam(), /lost, not confirmed/.test(text) ? "off" : "on");
  assert.deepEqual(faults, []);
  await close();
});

test("where the browser keeps nothing it is said, and the walk goes on", async () => {
  const setUp = (page) =>
    page.evaluateOnNewDocument(() => Object.defineProperty(window, "localStorage", { get: () => { throw new Error("refused"); } }));
  const { page, close } = await open(folder, { setUp });
  await page.waitForSelector("#begin-engine-7-operator");
  await tap(page, "begin-engine-7-operator", "keyboard");
  assert.ok((await page.$eval("#kept", (line) => line.textContent)).length > 40);
  assert.ok((await acts(page)).length > 0);
  await close();
});

test("every walk of the site opens and begins", async () => {
  const pages = pagesIn(site).filter((page) => page.startsWith("crew/walk-"));
  assert.ok(pages.length > 10);
  for (const page of pages) {
    const opened = await visit(on.browser, folder + page.slice("crew/".length));
    const key = await opened.page.waitForSelector("[id^='begin-']", { timeout: 20_000 });
    await key.click();
    await opened.page.waitForSelector("#end", { timeout: 20_000 });
    assert.deepEqual(opened.faults, [], page);
    await opened.close();
  }
});
