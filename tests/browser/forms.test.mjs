// Forms and cards on paper, in millimetres and points.

import assert from "node:assert/strict";
import { after, before, describe, test } from "node:test";

import { start } from "./browser.mjs";
import { laminated, signed } from "./forms.mjs";
import { faulty, pagesIn, site } from "./pages.mjs";
import { papers } from "./print.mjs";

let chromium;
before(async () => (chromium = await start()));
after(() => chromium?.close());

describe("a rig card that cannot be laminated is noticed", () => {
  for (const fault of [
    /"Never above .* is 6\.0 pt, not 7\.7/,
    /"95 gpm" stands on the screen and not on paper/,
    /is 5\.0 pt, not 7\.1/,
    /a line for changes is 4\.\d mm high/,
    /stands in the margin/,
    /side 2 does not say page 2 of 2/,
  ]) {
    test(`${fault}`, async () => {
      const { faults } = await laminated(chromium.browser, faulty, "card.html", "Letter");
      assert.ok(faults.some((found) => fault.test(found)), faults.join("\n"));
    });
  }
});

describe("a rig card is one side", { concurrency: 2 }, () => {
  const rigs = pagesIn(site).filter((name) => name.startsWith("crew/rig-"));
  test("there are rig cards", () => assert.ok(rigs.length > 1));
  for (const name of rigs) {
    for (const paper of papers) {
      test(`${name} on ${paper}`, async () => {
        const { faults, texts } = await laminated(chromium.browser, site, name, paper);
        assert.deepEqual(faults, []);
        assert.equal(texts.length, 1, "sides");
      });
    }
  }
});

/** Runs in the page: as the program makes it for a rig with seven foam lines and more. */
function seven() {
  const [line] = document.querySelectorAll(".laminate tbody");
  for (let at = 0; at < 5; at += 1) line.after(line.cloneNode(true));
  for (const part of document.querySelectorAll(".tanks, .laminate")) part.classList.add("apart");
}

describe("more than six foam lines have a side for the figures", () => {
  for (const paper of papers) {
    test(`on ${paper}`, async () => {
      const { faults, texts } = await laminated(chromium.browser, site, "crew/rig-engine-7.html", paper, seven);
      assert.deepEqual(faults, []);
      assert.equal(texts.length, 2, "sides");
      const [first, second] = texts;
      for (const head of ["minutes left", "where foam goes", "plate"]) assert.ok(first.includes(head), head);
      assert.ok(!first.includes("figures for each foam line") && second.includes("figures for each foam line"));
    });
  }
});

describe("a sheet that cannot be filled in is noticed", () => {
  for (const fault of [
    /2 of 3 boxes: 5\.0 mm, not 6\.6/,
    /1 of 4 lines to write on: 6\.0 mm, not 8\.4/,
    /1 of 3 lines for signatures: 9\.0 mm, not 10\.5/,
    /"Too small to read" is 6\.5 pt, not 7\.1/,
    /"It can throw a person" is 7\.2 pt, not 7\.7/,
    /stands in the margin/,
    /1 steps on 3 sides/,
  ]) {
    test(`${fault}`, async () => {
      const { faults } = await signed(chromium.browser, faulty, "form.html", "Letter");
      assert.ok(faults.some((found) => fault.test(found)), faults.join("\n"));
    });
  }
});

describe("a sign-off sheet takes a cross, a line and a signature by a gloved hand", { concurrency: 2 }, () => {
  const blanks = pagesIn(site).filter((name) => /^staff\/(sheet-|sheets\/.*\/sheet-1)/.test(name));
  const seen = [];
  for (const name of blanks) {
    for (const paper of papers) {
      test(`${name} on ${paper}`, async () => {
        const { faults, steps } = await signed(chromium.browser, site, name, paper);
        assert.deepEqual(faults, []);
        seen.push(steps);
      });
    }
  }
  after(() => assert.ok(seen.includes(15) && seen.some((steps) => steps > 15), "the longest on one leaf, and longer ones"));
});
