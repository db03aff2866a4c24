// Every page printed, sheet by sheet.

import assert from "node:assert/strict";
import { after, before, describe, test } from "node:test";

import { start } from "./browser.mjs";
import { Looked } from "./looked.mjs";
import { again, faulty, pagesIn, site } from "./pages.mjs";
import { papers, printed } from "./print.mjs";

/** The example module says on every sheet that its rigs are invented. */
const onEach = ["INVENTED RIG"];

let chromium;
before(async () => (chromium = await start()));
after(() => chromium?.close());

describe("faulty prints are noticed", () => {
  const expected = [
    ["sheets.html", /sheet 2 of 2: no "Local procedures/],
    ["sheets.html", /sheet 2 of 2: no "Charged line/],
    ["sheets.html", /sheet 1 of 2: no "INVENTED RIG"/],
    ["sheets.html", /the last of 2 sides is \d % full/],
    ["sheets.html", /sheet 2 of 2: no "CARD 99"/],
    ["sheets.html", /sheet 2 of 2: no "A second sheet without cautions"/],
    ["cards.html", /a drill card of 1 steps on 3 sides/],
    ["cards.html", /sheet 2 of 3: it does not say which it is/],
    ["orphan.html", /side 1: nothing stands below "Shut the outlet"/],
    ["wide.html", /the page has no caution/],
    ["long.html", /sheet 3 of 3: page 0 of 0, not 1 of 2/],
  ];
  for (const [name, fault] of expected) {
    test(`${name} ${fault}`, async () => {
      const { faults } = await printed(chromium.browser, faulty, name, "Letter", onEach);
      assert.ok(faults.some((found) => fault.test(found)), faults.join("\n"));
    });
  }
});

describe("every sheet carries its cautions", { concurrency: 2 }, () => {
  for (const paper of papers) {
    const looked = new Looked(`print-${paper}`, ["print.mjs", "print.test.mjs"]);
    for (const name of pagesIn(site).filter((each) => !again.test(each))) {
      const skip = looked.was(site, name) && "passed before, unchanged";
      test(`${name} on ${paper}`, { skip }, async () => {
        const { faults, sheets } = await printed(chromium.browser, site, name, paper, onEach);
        assert.deepEqual(faults, []);
        assert.ok(sheets > 0, "nothing was printed");
        looked.passed(site, name);
      });
    }
  }
});
