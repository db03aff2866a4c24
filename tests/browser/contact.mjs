// Contact sheets of every page kind, to be looked at by people: at 360, 820 and 1280 px, in light and
// in dark, and as they print, in black and white as office printers have it. It judges nothing.
//
//   node tests/browser/contact.mjs [FOLDER]
//
// The folder is `.target/contact` unless another is named; `DRILLWRIGHT_SITE` names another site.

import { execFileSync } from "node:child_process";
import { mkdirSync, mkdtempSync, readFileSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";

import { start } from "./browser.mjs";
import { again, pagesIn, site, source } from "./pages.mjs";

const out = process.argv[2] ?? fileURLToPath(new URL("../../.target/contact", import.meta.url));

/** A screen shows so much of a page; a recruit scrolls on. */
const views = [
  [360, 780],
  [820, 1180],
  [1280, 900],
];

/** The first page of each kind on each side, and of those kinds whose pages are not alike, more. */
function kinds() {
  const found = new Map();
  for (const name of pagesIn(site)) {
    if (again.test(`/${name}`)) continue;
    const [side] = name.split("/");
    const kind = /<body data-kind="([^"]*)"/.exec(source(site, name))?.[1] ?? "";
    const sort = name.replace(/^\w+\/(\w+).*$/, "$1");
    const key = [side, kind, sort].join("-");
    if (!found.has(key)) found.set(key, name);
  }
  return found;
}

/** One picture of many: what a browser shows of them in rows. */
async function sheet(browser, title, pictures, height) {
  const page = await browser.newPage();
  const cells = pictures.map(([name, bytes]) => `<figure><img src="data:image/png;base64,${Buffer.from(bytes).toString("base64")}"><figcaption>${name}</figcaption></figure>`);
  await page.setViewport({ width: 1800, height: 400 });
  await page.setContent(
    `<style>body{font:13px sans-serif;margin:8px;background:#888}main{display:flex;flex-wrap:wrap;gap:8px}figure{margin:0;background:#fff}img{height:${height}px;display:block}figcaption{padding:2px 4px}</style><h1>${title}</h1><main>${cells.join("")}</main>`,
    { waitUntil: "load" },
  );
  writeFileSync(join(out, `${title}.png`), await page.screenshot({ fullPage: true }));
  await page.close();
}

/** The sides of a page on paper, without colour. */
async function sides(page) {
  const pdf = await page.pdf({ preferCSSPageSize: true, printBackground: false });
  const scratch = mkdtempSync(join(tmpdir(), "drillwright-contact-"));
  try {
    writeFileSync(join(scratch, "page.pdf"), pdf);
    execFileSync("pdftoppm", ["-r", "80", "-gray", "-l", "8", "-png", "page.pdf", "side"], { cwd: scratch });
    const files = readdirSync(scratch).filter((file) => file.endsWith(".png"));
    return files.sort().map((file) => readFileSync(join(scratch, file)));
  } finally {
    rmSync(scratch, { recursive: true, force: true });
  }
}

mkdirSync(out, { recursive: true });
const { browser, close } = await start();
try {
  const sheets = new Map();
  const put = (title, picture) => sheets.set(title, [...(sheets.get(title) ?? []), picture]);
  for (const [key, name] of kinds()) {
    // What was read on another page is new to this one.
    const context = await browser.createBrowserContext();
    const page = await context.newPage();
    await page.goto(pathToFileURL(join(site, name)).href, { waitUntil: "load" });
    // The first visit has the cautions open; whoever read them sees what the page is for.
    await page.setViewport({ width: 360, height: 780 });
    put("360-first-visit", [key, await page.screenshot()]);
    await page.$$eval("button[data-read]", ([read]) => read?.click());
    for (const scheme of ["light", "dark"]) {
      await page.emulateMediaFeatures([{ name: "prefers-color-scheme", value: scheme }]);
      for (const [width, height] of views) {
        await page.setViewport({ width, height });
        put(`${width}-${scheme}`, [key, await page.screenshot()]);
      }
    }
    for (const [at, side] of (await sides(page)).entries()) put("letter", [`${name} ${at + 1}`, side]);
    await context.close();
  }
  for (const [title, pictures] of sheets) {
    // So many that each can still be read when the sheet is looked at as a whole.
    const many = title === "letter" ? 6 : title.startsWith("1280") ? 4 : title.startsWith("820") ? 6 : 10;
    for (let from = 0; from < pictures.length; from += many) {
      const part = pictures.length > many ? `-${from / many + 1}` : "";
      await sheet(browser, title + part, pictures.slice(from, from + many), title === "letter" ? 880 : 780);
    }
  }
  console.log(`${[...sheets.values()].flat().length} pictures in ${out}`);
} finally {
  await close();
}
