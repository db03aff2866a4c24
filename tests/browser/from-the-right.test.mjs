// A module in a language that is written from the right: its pages turn, nothing leaves a phone, and
// numbers with their units, sums, codes and keypads are read from the left as everywhere.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { cpSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join, resolve } from "node:path";
import { after, before, test } from "node:test";
import { fileURLToPath, pathToFileURL } from "node:url";

import { start } from "./browser.mjs";

const root = resolve(dirname(fileURLToPath(import.meta.url)), "../..");
const program = process.env.DRILLWRIGHT ?? join(root, ".target/checked/drillwright");

/** Some labels of the pages; all others stay as they are, so that both ways of writing stand beside each other. */
const words = `
lang: ar
page:
  steps: الخطوات
  given: ما يُعطى قبل البدء
  fails: أي واحد من هذه يُسقط التدريب
  outcome: النتيجة المطلوبة
  all-pages: كل الصفحات
  roles: الأدوار
`;

let chromium;
let folder;
before(async () => {
  chromium = await start();
  folder = mkdtempSync(join(tmpdir(), "drillwright-right-"));
  const content = join(folder, "content");
  cpSync(join(root, "content"), content, { recursive: true });
  rmSync(join(content, "trade"), { recursive: true });
  mkdirSync(join(content, "theme"), { recursive: true });
  writeFileSync(join(content, "theme/words.yaml"), words);
  const seed = "ladder onion marble cactus otter velvet";
  execFileSync(program, ["compile", "--content", content, "--out", join(folder, "site"), "--seed", seed], { encoding: "utf8" });
});
after(async () => {
  await chromium?.close();
  if (folder) rmSync(folder, { recursive: true, force: true });
});

/** One page of each kind, as it is called. */
function each() {
  const kinds = new Map();
  for (const side of ["crew", "staff"]) {
    for (const file of readdirSync(join(folder, "site", side)).sort()) {
      const kind = file.endsWith(".html") && /<body data-kind="([^"]*)"/.exec(readFileSync(join(folder, "site", side, file), "utf8"))?.[1];
      if (kind && !kinds.has(`${side} ${kind}`)) kinds.set(`${side} ${kind}`, `${side}/${file}`);
    }
  }
  return [...kinds.values()];
}

async function open(name, width = 390) {
  const page = await chromium.browser.newPage();
  await page.setViewport({ width, height: 844 });
  const [file, asks] = name.split("?");
  await page.goto(`${pathToFileURL(join(folder, "site", file)).href}${asks ? `?${asks}` : ""}`, { waitUntil: "load" });
  return page;
}

test("every kind of page turns, and nothing leaves a phone", async () => {
  const pages = each();
  assert.ok(pages.length > 15, pages.join(" "));
  for (const name of pages) {
    const page = await open(name);
    const found = await page.evaluate(() => {
      // In a table that may be pushed aside by itself nothing is lost; what hides from sight is no part of it.
      const within = (one) => one.closest(".wide, svg, .skip, thead, [hidden], details:not([open])");
      const wide = [...document.querySelectorAll("body *")].filter((one) => {
        const box = one.getBoundingClientRect();
        return box.width > 0 && !within(one) && (box.left < -1 || box.right > innerWidth + 1);
      });
      const of = document.scrollingElement;
      return {
        way: getComputedStyle(document.body).direction,
        lang: document.documentElement.lang,
        wider: of.scrollWidth - of.clientWidth,
        out: wide.slice(0, 3).map((one) => `${one.tagName}.${one.className}: ${one.textContent.trim().slice(0, 40)}`),
      };
    });
    assert.deepEqual(found, { way: "rtl", lang: "ar", wider: 0, out: [] }, name);
    await page.close();
  }
});

test("the margin of a ruled list stands on the right, its number outside", async () => {
  const page = await open("crew/drill-flush.html");
  const { number, entry, border } = await page.$eval(".steps > li", (li) => ({
    number: li.querySelector(".n").getBoundingClientRect().left,
    entry: li.querySelector("div").getBoundingClientRect().right,
    border: getComputedStyle(li.querySelector("div")).borderRightStyle,
  }));
  assert.ok(number >= entry - 1, `number at ${number}, entry to ${entry}`);
  assert.equal(border, "double");
  await page.close();
});

test("sums, codes, drawings and keypads are read from the left", async () => {
  const wanted = { "crew/lesson-why-percent.html": [".board td", "svg", ".form"], "crew/rig-engine-7.html": ["svg", ".form"] };
  for (const [name, selectors] of Object.entries(wanted)) {
    const page = await open(name);
    for (const selector of selectors) {
      const ways = await page.$$eval(selector, (all) => [...new Set(all.map((one) => getComputedStyle(one).direction))]);
      assert.deepEqual(ways, ["ltr"], `${selector} of ${name}`);
    }
    await page.close();
  }
  // One that is answered by a number: a session may begin with a choice, which has no keypad.
  const page = await open("crew/practice-ten-to-know.html?question=half-percent");
  await page.waitForSelector(".pad");
  const keys = await page.$$eval(".pad button", (all) =>
    all.map((one) => ({ text: one.textContent.trim(), left: one.getBoundingClientRect().left })).filter(({ text }) => /^[789]$/.test(text)),
  );
  const at = Object.fromEntries(keys.map(({ text, left }) => [text, left]));
  assert.ok(at[7] < at[8] && at[8] < at[9], JSON.stringify(at));
  await page.close();
});
