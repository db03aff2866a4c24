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

/**
 * Opens a page from its file, as a module for another paper has it where one is named. What it says
 * to the console as an error, what it throws and every request to anywhere but the site's own files
 * is added to `faults`.
 */
export async function open(browser, folder, name, width = 1280, paper = undefined) {
  const page = await browser.newPage();
  const faults = [];
  page.on("console", (said) => {
    if (["error", "warn"].includes(said.type())) faults.push(`console: ${said.text()}`);
  });
  page.on("pageerror", (fault) => faults.push(`script: ${fault.message}`));
  await page.setRequestInterception(true);
  page.on("request", (request) => {
    const url = request.url();
    const own = url.startsWith("file:") && inside(folder, fileURLToPath(url));
    if (own && paper && /\.(css|html)$/.test(url)) return void request.respond(onPaper(fileURLToPath(url), paper));
    if (own || url.startsWith("data:")) return void request.continue();
    faults.push(`asks for ${url}`);
    request.abort();
  });
  page.on("requestfailed", (request) => faults.push(`not found: ${request.url()}`));
  await page.setViewport({ width, height: 800 });
  await page.goto(pathToFileURL(join(folder, name)).href, { waitUntil: "load" });
  return { page, faults };
}
