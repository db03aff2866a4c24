// What stands where on a phone: the first key and the first step in sight, cautions short, each
// page with a page after it.

import assert from "node:assert/strict";
import { join } from "node:path";
import { after, before, describe, test } from "node:test";
import { pathToFileURL } from "node:url";

import { start } from "./browser.mjs";
import { pagesIn, site } from "./pages.mjs";

let chromium;
before(async () => (chromium = await start()));
after(() => chromium?.close());

/** A page on a phone 360 pixels wide, its cautions as whoever read them finds them. */
async function read(name) {
  const page = await chromium.browser.newPage();
  await page.setViewport({ width: 360, height: 740 });
  await page.goto(pathToFileURL(join(site, name)).href, { waitUntil: "load" });
  // In one go: what was read before folds by itself, and where the key was a link may stand then.
  await page.evaluate(() => {
    const key = document.querySelector("[data-read]");
    if (key?.checkVisibility()) key.click();
    scrollTo(0, 0);
  });
  return page;
}

const top = (page, selector) => page.$eval(selector, (one) => Math.round(one.getBoundingClientRect().top + scrollY));
const kinds = (kind) => pagesIn(site).filter((name) => name.startsWith(`crew/${kind}`));

describe("the first key of an index and of a drill card is in sight", { concurrency: 2 }, () => {
  for (const name of ["crew/index.html", "staff/index.html", ...kinds("drill-")]) {
    test(name, async () => {
      const page = await read(name);
      const key = await top(page, "#main a.key");
      assert.ok(key < 450, `the first key is ${key} px down`);
      if (name.includes("drill-")) {
        const step = await top(page, ".steps > li");
        assert.ok(step < 740, `the first step is ${step} px down`);
      }
      await page.close();
    });
  }
});

test("cautions that were read take 176 px at most, and the gravest stays in sight", async () => {
  const seen = new Set();
  for (const name of [...kinds("drill-"), ...kinds("lesson-"), ...kinds("rig-")]) {
    const page = await read(name);
    const { height, count, sorted } = await page.evaluate(() => {
      const block = document.querySelector(".cautions");
      const boxes = [...block.children].filter((one) => one.getClientRects().length > 0).map((one) => one.getBoundingClientRect());
      const order = ["DANGER", "WARNING", "CAUTION", "NOTICE"];
      const signals = [...block.querySelectorAll("strong.sig")].filter((one) => one.getClientRects().length > 0).map((one) => order.indexOf(one.textContent));
      return {
        height: Math.max(...boxes.map(({ bottom }) => bottom)) - Math.min(...boxes.map(({ top }) => top)),
        count: block.querySelectorAll("[data-caution-headline]").length,
        sorted: signals.every((signal, at) => at === 0 || signals[at - 1] <= signal),
      };
    });
    assert.ok(height <= 176, `${name}: ${count} cautions take ${Math.round(height)} px`);
    assert.ok(sorted, `${name}: a graver caution stands below a lighter one`);
    seen.add(count);
    await page.evaluate(() => scrollTo(0, document.body.scrollHeight / 2));
    const stays = await page.$eval(".gravest", (line) => Math.round(line.getBoundingClientRect().top));
    assert.equal(stays, 0, `${name}: the gravest headline scrolled away`);
    await page.close();
  }
  assert.ok(seen.has(3), "no page with three cautions was looked at");
});

test("a caution that changed is open again, one that was read is not", async () => {
  const page = await read("crew/drill-flush.html");
  const open = () => page.$eval(".fold", (fold) => fold.open);
  assert.equal(await open(), false);
  await page.reload({ waitUntil: "load" });
  assert.equal(await open(), false, "it was read before");
  await page.evaluate(() => {
    for (const key of Object.keys(localStorage)) if (key.startsWith("read ")) localStorage.removeItem(key);
    localStorage.setItem("read 000000000000", "yes");
  });
  await page.reload({ waitUntil: "load" });
  assert.equal(await open(), true, "other words have another name");
  await page.close();
});

test("each page but an index leads on, and no two have one title", async () => {
  const titles = new Map();
  const page = await chromium.browser.newPage();
  for (const name of pagesIn(site)) {
    // Numbered sheets differ by their form codes, which stand in no title.
    if (name.includes("send-") || name.includes("/sheets/")) continue;
    await page.goto(pathToFileURL(join(site, name)).href, { waitUntil: "domcontentloaded" });
    const { title, leads } = await page.evaluate(() => ({
      title: document.title,
      leads: document.querySelectorAll("nav.onward a, nav.so-nav a, #main a").length,
    }));
    assert.ok(leads > 0, `${name} leads nowhere`);
    // A blank sheet lies in both folders, the same in each.
    const copy = titles.get(title)?.split("/").pop() === name.split("/").pop();
    assert.ok(copy || !titles.has(title), `${name} and ${titles.get(title)} are both "${title}"`);
    titles.set(title, name);
  }
  await page.close();
});

test("the crew's index leads back to where the reader was", async () => {
  const page = await read("crew/lesson-clearing.html");
  await page.goto(pathToFileURL(join(site, "crew/index.html")).href, { waitUntil: "load" });
  assert.match(await page.$eval("[data-door=lesson] .key", (key) => key.href), /lesson-clearing\.html$/);
  assert.match(await page.$eval("[data-door=lesson] .what", (what) => what.textContent), /Clearing the line/);
  await page.close();
});

test("runs are shown as asked for", async () => {
  const page = await read("staff/index.html");
  const shown = () => page.$$eval("#runs tbody tr", (rows) => rows.filter((row) => !row.hidden).length);
  const all = await shown();
  await page.click("[data-filter=not-met]");
  const some = await shown();
  assert.ok(some > 0 && some < all, `${some} of ${all}`);
  assert.equal(await page.$eval("[data-filter=not-met]", (key) => key.getAttribute("aria-pressed")), "true");
  const marks = await page.$$eval("#runs tbody tr:not([hidden]) .out", (cells) => cells.map((cell) => cell.className));
  assert.ok(marks.every((mark) => mark === "out not"), marks.join());
  await page.close();
});

test("a blank sheet shows where it lies on its drill's way, and the way leads back", async () => {
  for (const name of pagesIn(site).filter((each) => /^(crew|staff)\/sheet-/.test(each))) {
    const page = await read(name);
    const { here, links, shown } = await page.evaluate(() => ({
      here: document.querySelector(".trail [aria-current=step]")?.textContent,
      links: [...document.querySelectorAll(".trail a")].map((link) => link.getAttribute("href")),
      shown: document.querySelector(".trail").getClientRects().length > 0,
    }));
    assert.equal(here, "Sign-off", name);
    assert.ok(shown, `${name}: the way is not shown`);
    const folder = name.startsWith("staff/") ? "../crew/" : "";
    for (const kind of ["lesson-", "practice-", "drill-"]) {
      assert.ok(links.some((link) => link.startsWith(folder + kind)), `${name}: no ${kind} in ${links}`);
    }
    await page.emulateMediaType("print");
    assert.ok(await page.$eval(".trail", (way) => way.getClientRects().length === 0), `${name}: the way is printed`);
    await page.close();
  }
});

test("on a phone each box of a sheet has the word of its column", async () => {
  const page = await read("staff/sheet-flush-engine-7.html");
  // As a wide screen sets them: column by column, by their middle.
  await page.setViewport({ width: 1280, height: 800 });
  const wrong = await page.$$eval("table.so-marks", (tables) => tables.flatMap((table) => {
    const middle = (one) => one.getBoundingClientRect().left + one.getBoundingClientRect().width / 2;
    const heads = [...table.tHead.rows[0].cells];
    return [...table.querySelectorAll("td[data-word]")].flatMap((cell) => {
      const over = heads.find((head) => Math.abs(middle(head) - middle(cell)) < 2);
      return over?.textContent === cell.dataset.word ? [] : [`${cell.dataset.word} stands below ${over?.textContent}`];
    });
  }));
  assert.deepEqual(wrong, []);
  await page.close();
});
