// Valid HTML, links that lead somewhere, and nothing private in the crew's pages.

import assert from "node:assert/strict";
import { describe, test } from "node:test";
import { join } from "node:path";

import { faulty, pagesIn, plain, sentence, site, source } from "./pages.mjs";
import { leaks, links, privateTexts, valid } from "./text.mjs";

const pages = pagesIn(site);
const crew = pages.filter((name) => name.startsWith("crew/"));
const staff = pages.filter((name) => !name.startsWith("crew/"));

describe("faulty pages are noticed", () => {
  test("by the validator", async () => {
    const faults = await valid(faulty, ["pale.html", "wide.html"]);
    assert.equal(faults.length, 1, faults.join("\n"));
    assert.match(faults[0], /pale\.html, line \d+: .*alt/);
  });
  test("by the links", () => {
    assert.deepEqual(links(faulty, "links.html"), [
      "../site.html leads out",
      "nowhere.html leads nowhere",
      "wide.html#nothing: no such id",
    ]);
  });
  test("by the search for private things", () => {
    const secrets = privateTexts(source(faulty, "private.html"));
    assert.deepEqual(secrets, ["Seed 4711", "J. Invented"]);
    const faults = leaks(source(faulty, "private.html"), secrets);
    assert.equal(faults.length, 4, faults.join("\n"));
  });
});

test("all pages are valid", async () => {
  assert.ok(pages.length > 0, `no pages in ${site}`);
  // The checker reads pages from file: addresses, which have no 'self'; that the browser takes
  // the style sheet is held by the look of every page.
  const own = (fault) => fault.includes("Content Security Policy") && fault.includes("plain.css");
  assert.deepEqual((await valid(site, pages)).filter((fault) => !own(fault)), []);
});

test("every link leads somewhere; the crew's pages stand alone", () => {
  const faults = pages.flatMap((name) => {
    const border = name.startsWith("crew/") ? join(site, "crew") : site;
    return links(site, name, border).map((fault) => `${name}: ${fault}`);
  });
  assert.deepEqual(faults, []);
});

test("every page says who decides", () => {
  assert.deepEqual(
    pages.filter((name) => {
      const text = source(site, name).replaceAll(/&#(39|x27);|&rsquo;/g, "'");
      return !plain(text).includes(plain(sentence));
    }),
    [],
  );
});

test("the crew's pages hold nothing private", () => {
  const secrets = [...new Set(staff.flatMap((name) => privateTexts(source(site, name))))];
  assert.ok(secrets.length > 0, "no staff page marks anything as private");
  const faults = crew.flatMap((name) =>
    leaks(source(site, name), secrets).map((fault) => `${name}: ${fault}`),
  );
  assert.deepEqual(faults, []);
});
