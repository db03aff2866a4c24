// Debian's Chromium, started afresh, with every request of a page watched.

import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import puppeteer from "puppeteer-core";

import { inside } from "./pages.mjs";

const flags = [
  "--no-sandbox",
  "--disable-gpu",
  "--disable-quic",
  "--no-first-run",
  "--disable-background-networking",
  "--disable-component-update",
  "--disable-sync",
];

/** A browser on a profile that may have been used before. */
export const launch = (profile) =>
  puppeteer.launch({
    executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
    headless: true,
    args: flags,
    userDataDir: profile,
  });

/** Starts a browser with a profile of its own; `close()` takes both away. */
export async function start() {
  const profile = mkdtempSync(join(tmpdir(), "drillwright-browser-"));
  const browser = await launch(profile);
  return {
    browser,
    async close() {
      await browser.close();
      rmSync(profile, { recursive: true, force: true, maxRetries: 5 });
    },
  };
}

/**
 * A file as a module for this paper has it: the style sheet begins with the paper's name, and so do
 * the classes of the body. Without that a browser scales the module's own paper to the one asked for.
 */
export function onPaper(file, paper) {
  const text = readFileSync(file, "utf8");
  if (file.endsWith(".css")) return { contentType: "text/css", body: text.replace(/size: \w+/, `size: ${paper}`) };
  const body = text.replace(/(<body[^>]*class="\w+ )\w+/, `$1${paper.toLowerCase()}`);
  return { contentType: "text/html; charset=utf-8", body };
}

/** Lets a page have the site's own files alone, and adds to `seen.faults` what it should not do. */
async function watch(page, seen) {
  page.on("console", (said) => {
    if (["error", "warn"].includes(said.type())) seen.faults.push(`console: ${said.text()}`);
  });
  page.on("pageerror", (fault) => seen.faults.push(`script: ${fault.message}`));
  await page.setRequestInterception(true);
  page.on("request", (request) => {
    const url = request.url();
    const own = url.startsWith("file:") && inside(seen.folder, fileURLToPath(url));
    if (own && seen.paper && /\.(css|html)$/.test(url)) return void request.respond(onPaper(fileURLToPath(url), seen.paper));
    if (own || url.startsWith("data:")) return void request.continue();
    seen.faults.push(`asks for ${url}`);
    request.abort();
  });
  page.on("requestfailed", (request) => seen.faults.push(`not found: ${request.url()}`));
}

const address = (folder, name) => pathToFileURL(join(folder, name)).href;

/**
 * Opens a page from its file, as a module for another paper has it where one is named. What it says
 * to the console as an error, what it throws and every request to anywhere but the site's own files
 * is added to `faults`.
 */
export async function open(browser, folder, name, width = 1280, paper = undefined) {
  const page = await browser.newPage();
  const seen = { folder, paper, faults: [] };
  await watch(page, seen);
  await page.setViewport({ width, height: 800 });
  await page.goto(address(folder, name), { waitUntil: "load" });
  return { page, faults: seen.faults };
}

/** Windows of a browser that wait for their next page: a new window costs more than many a page. */
const free = new WeakMap();

/**
 * As `open`, in a window that may have shown another page before; `use` is given the page and its
 * faults, and the window goes back as it came. A page that fails takes its window along.
 */
export async function shown(browser, folder, name, { width = 1280, paper = undefined }, use) {
  if (!free.has(browser)) free.set(browser, []);
  const windows = free.get(browser);
  let one = windows.pop();
  if (!one) {
    one = { page: await browser.newPage(), seen: {} };
    Object.assign(one.seen, { folder, paper, faults: [] });
    await watch(one.page, one.seen);
  }
  const faults = [];
  Object.assign(one.seen, { folder, paper, faults });
  await one.page.setViewport({ width, height: 800 });
  await one.page.goto(address(folder, name), { waitUntil: "load" });
  const found = await use(one.page, faults);
  await one.page.emulateMediaFeatures([]);
  await one.page.emulateMediaType();
  windows.push(one);
  return found;
}
