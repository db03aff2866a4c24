// Every page, on a phone and on a desk, in light and in dark.

import assert from "node:assert/strict";
import { after, before, describe, test } from "node:test";

import { start } from "./browser.mjs";
import { Looked } from "./looked.mjs";
import { looks } from "./looks.mjs";
import { again, faulty, pagesIn, site } from "./pages.mjs";

let chromium;
before(async () => (chromium = await start()));
after(() => chromium?.close());

test("there are pages to look at", () => {
  const pages = pagesIn(site);
  assert.ok(pages.includes("crew/index.html"), `no crew/index.html in ${site}`);
  assert.ok(pages.includes("staff/index.html"), `no staff/index.html in ${site}`);
});

describe("faulty pages are noticed", () => {
  const expected = [
    ["outside.html", /asks for http:\/\/example\.invalid/],
    ["outside.html", /console: /],
    ["wide.html", /^360 px: the page is \d+ wide/],
    ["pale.html", /^1280 px, dark: color-contrast/],
    ["pale.html", /^360 px, light: image-alt/],
    // Only a desk has these colours, and only one text of many.
    ["pale-desk.html", /^1280 px, light: color-contrast: .*pale on a desk/],
    ["pale-desk.html", /^1280 px, dark: color-contrast: .*pale on a dark ground/],
  ];
  for (const [name, fault] of expected) {
    test(`${name} ${fault}`, async () => {
      const faults = await looks(chromium.browser, faulty, name);
      assert.ok(faults.some((found) => fault.test(found)), faults.join("\n"));
    });
  }
});

describe("pages look right", { concurrency: 2 }, () => {
  const looked = new Looked("looks", ["looks.mjs", "looks.test.mjs"]);
  for (const name of pagesIn(site).filter((each) => !again.test(each))) {
    const skip = looked.was(site, name) && "passed before, unchanged";
    test(name, { skip }, async () => {
      assert.deepEqual(await looks(chromium.browser, site, name), []);
      looked.passed(site, name);
    });
  }
});
