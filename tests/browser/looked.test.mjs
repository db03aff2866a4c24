// A page is looked at again when anything of it has changed, or of those who look.

import assert from "node:assert/strict";
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";

import { Looked, whole } from "./looked.mjs";
import { pagesIn, site } from "./pages.mjs";

const parts = {
  "crew/a.html":
    '<link rel="stylesheet" href="plain.css"><script src="page.js" defer></script><img src="../p.svg"><a href="b.html">b</a>',
  "crew/b.html": "another page",
  "crew/plain.css": 'body { background: url("ground.png") }',
  "crew/page.js": "1",
  "crew/ground.png": "png",
  "p.svg": "<svg></svg>",
};

let folder;
before(() => {
  folder = mkdtempSync(join(tmpdir(), "drillwright-looked-"));
  mkdirSync(join(folder, "crew"));
  for (const [name, text] of Object.entries(parts)) writeFileSync(join(folder, name), text);
});
after(() => rmSync(folder, { recursive: true, force: true }));

const looked = (told, more = {}) =>
  new Looked("looks", ["looks.mjs"], told, { store: join(folder, "kept"), all: false, about: () => "browser 1", ...more });

test("what passed is known until something of it changes", () => {
  assert.equal(looked().was(folder, "crew/a.html"), false, "nothing was looked at yet");
  looked().passed(folder, "crew/a.html");
  assert.equal(looked().was(folder, "crew/a.html"), true);
  for (const [name, text] of Object.entries(parts)) {
    writeFileSync(join(folder, name), `${text} `);
    // What a page links to is a page of its own.
    assert.equal(looked().was(folder, "crew/a.html"), name === "crew/b.html", name);
    writeFileSync(join(folder, name), text);
  }
  rmSync(join(folder, "crew/page.js"));
  assert.equal(looked().was(folder, "crew/a.html"), false, "a part that is gone");
  writeFileSync(join(folder, "crew/page.js"), parts["crew/page.js"]);
  assert.equal(looked().was(folder, "crew/a.html"), true);
});

test("another browser, another way of looking, everything asked for: looked at again", () => {
  assert.equal(looked("", { about: () => "browser 2" }).was(folder, "crew/a.html"), false);
  assert.equal(looked("more").was(folder, "crew/a.html"), false);
  assert.equal(new Looked("looks", ["print.mjs"], "", { store: join(folder, "kept"), all: false, about: () => "browser 1" }).was(folder, "crew/a.html"), false);
  assert.equal(looked("", { all: true }).was(folder, "crew/a.html"), false);
});

test("a page of the site is known with its style, its scripts and its pictures", () => {
  for (const name of pagesIn(site)) {
    const parts = whole(site, name);
    assert.doesNotMatch(parts, /is not there/, name);
    const text = readFileSync(join(site, name), "utf8");
    // A lesson that is sent as one file has its style in it.
    assert.ok(/\.css /.test(parts) || text.includes("<style"), name);
    for (const [, script] of text.matchAll(/<script[^>]* src="([^"]+)"/g)) {
      assert.ok(parts.includes(script), `${name}: ${script}`);
    }
  }
});
