// One run of each drill by mouse and one by touch, from the declaration to a verdict, and the
// verdict is the program's.

import assert from "node:assert/strict";
import { readdirSync } from "node:fs";
import { join } from "node:path";
import { test } from "node:test";

import { declare, downloads, finish, markAll, score, shown, tap, whole, write } from "./live.mjs";
import { site } from "./pages.mjs";
import { stage, visit } from "./web.mjs";

const on = stage("staff");
const { folder } = on;

/** What gauges and counters of the example show in a run that goes well, by drill and field. */
const numbers = {
  startup: {
    "reading-percent-ordered": "0.5", "reading-flow-read": "125", "reading-foam-left": "20", "reading-water-left": "440",
    "measure-percent-set": "0.5", "measure-line-pressure": "150", "measure-minutes-told": "3",
  },
  "startup-b": {
    "reading-percent-ordered": "3", "reading-flow-read": "125", "reading-foam-left": "40", "reading-water-left": "400",
    "measure-percent-set": "3", "measure-line-pressure": "150", "measure-minutes-told": "3",
  },
  "percent-change": {
    "reading-percent-ordered": "0.8", "reading-flow-read": "125", "reading-line-flow": "125", "reading-plain-flow": "0",
    "reading-supply": "0", "reading-foam-left": "26.7", "reading-water-left": "470", "reading-pressure-before": "150",
    "measure-percent-set": "0.8", "measure-minutes-told": "3", "measure-wait-held": "40", "measure-pressure-held": "150",
  },
  "flush-b": {
    "reading-flow-read": "125", "reading-percent-set": "3", "reading-foam-used": "19", "reading-water-used": "630",
    "measure-flush-time": "48", "measure-flush-water": "110",
  },
  flush: {
    "reading-flow-read": "125", "reading-percent-set": "0.5", "reading-foam-used": "3.2", "reading-water-used": "630",
    "measure-flush-time": "48", "measure-flush-water": "100",
  },
  refill: { "reading-used-by-record": "4.4", "measure-amount-said": "4.4", "measure-gallons-added": "4.5" },
  "supply-change": {
    "reading-percent-set": "0.5", "reading-flow-read": "125", "reading-plain-flow": "0", "reading-supply": "150",
    "reading-foam-left": "20", "reading-water-left": "500", "reading-pressure-before": "150", "reading-floor-of-card": "20",
    "measure-line-pressure": "150", "measure-intake-held": "45", "measure-minutes-told": "30",
  },
  "refill-b": { "reading-used-by-record": "19", "measure-amount-said": "19", "measure-gallons-added": "19" },
  "totals-b": { "reading-foam-a": "19", "reading-water-a": "630", "measure-percent-worked": "2.93" },
  totals: { "reading-foam-a": "4.4", "reading-water-a": "870", "measure-percent-worked": "0.51" },
};

const tender = { rig: "tender-3", outlet: "hand-line-1", fuel: "hydrocarbon" };
const pages = readdirSync(join(site, "staff")).filter((name) => /^live-.*\.html$/.test(name));
const drills = pages.map((name) => name.slice("live-".length, -".html".length)).filter((id) => !id.endsWith("-evolution"));

/** The mode in which most can be shown. */
const modes = ["training-foam", "plain-water", "hands-on-dry", "walk-through"];

/** Posts that the usual crew leaves empty, each given to somebody without a post. */
async function crewed(page) {
  const free = ["sorrel", "bracken", "sedge", "larch", "heather", "willow"];
  const posts = () => page.$$eval("#engine [id^='f-crew-']", (all) => all.map((one) => [one.id, one.value]));
  const held = (await posts()).map(([, person]) => person);
  for (const [id, person] of await posts()) {
    if (person !== "") continue;
    const next = free.find((one) => !held.includes(one));
    held.push(next);
    await write(page, id, next);
  }
}

for (const [how, window] of [["mouse", { width: 1280 }], ["touch", { touch: true, width: 390, height: 844 }]]) {
  for (const drill of drills) {
    test(`${drill} by ${how}`, async () => {
      const { page, faults, close } = await visit(on.browser, `${folder}live-${drill}.html`, window);
      const handed = await downloads(page);
      await page.waitForSelector("#begin");
      const offered = await page.$$eval("#engine button[id^='f-mode-']", (all) => all.map((one) => one.id.slice("f-mode-".length)));
      const mode = modes.find((one) => offered.includes(one));
      await declare(page, { mode, ...(drill.endsWith("-b") ? tender : {}) });
      // Asked only where more than one role gets a result.
      if (await page.$("#f-role")) {
        await write(page, "f-role", "operator");
        // The candidate holds that post from then on, and nobody else is asked for it.
        await page.waitForSelector("[id='f-crew-operator']", { hidden: true });
      }
      await crewed(page);
      await tap(page, "#begin");
      await page.waitForSelector("#stop").catch(async (fault) => { throw new Error(/Begin: [^]*?\n/.exec(await shown(page))?.[0], { cause: fault }); });
      await whole(page);
      await markAll(page);
      for (const [field, text] of Object.entries(numbers[drill] ?? {})) {
        const id = `f-${drill}-${field}`;
        if (await page.$(`[id="${id}"]`)) await write(page, id, text);
      }
      await finish(page);
      const [, text] = await handed.next();
      const { verdicts, findings } = score(text);
      assert.deepEqual(findings, []);
      assert.equal(verdicts.length, 1);
      const said = await shown(page);
      for (const one of [verdicts[0].outcome_text, verdicts[0].reason]) assert.ok(said.includes(one), `${one}\n${said}`);
      assert.ok(["met", "met-in-part"].includes(verdicts[0].outcome), `${verdicts[0].outcome}: ${verdicts[0].reason}`);
      assert.deepEqual(faults, []);
      await handed.close();
      await close();
    });
  }
}
