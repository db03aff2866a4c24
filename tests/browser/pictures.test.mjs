// The pictures of the README show the committed site.

import assert from "node:assert/strict";
import { existsSync, readFileSync } from "node:fs";
import { test } from "node:test";

import { record, today } from "./pictures.mjs";

test("no picture of the README is stale", () => {
  const made = JSON.parse(readFileSync(record, "utf8"));
  const stale = Object.entries(today()).filter(([picture, hash]) => made[picture] !== hash);
  assert.deepEqual(stale.map(([picture]) => picture), [], "run: node tests/browser/pictures.mjs");
});

test("the README shows each of them, and no other", () => {
  const text = readFileSync(new URL("../../README.md", import.meta.url), "utf8");
  const shown = [...text.matchAll(/\]\(tests\/browser\/pictures\/([a-z-]+\.png)\)/g)].map(([, picture]) => picture);
  assert.deepEqual(shown.sort(), Object.keys(today()).sort());
  for (const picture of shown) assert.ok(existsSync(new URL(`pictures/${picture}`, import.meta.url)), picture);
});
