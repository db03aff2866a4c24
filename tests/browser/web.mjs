// A web space on loopback that serves a folder's files, and pages of it with every request
// watched.

import { readFileSync } from "node:fs";
import { createServer } from "node:http";
import { extname, join } from "node:path";
import { after, before } from "node:test";
import { fileURLToPath, pathToFileURL } from "node:url";

import { start } from "./browser.mjs";
import { inside, site } from "./pages.mjs";

const types = {
  ".html": "text/html",
  ".css": "text/css",
  ".js": "text/javascript",
  ".json": "application/json",
  ".svg": "image/svg+xml",
  ".wasm": "application/wasm",
  ".webmanifest": "application/manifest+json",
};

/**
 * Serves the site. `changed` holds what is served in place of a file, by name: a function of its
 * text. `close()` cuts every connection.
 */
export async function serve() {
  const changed = new Map();
  const server = createServer(({ url }, answer) => {
    const name = decodeURI(new URL(url, "http://x").pathname);
    if (name === "/favicon.ico") return void answer.writeHead(204).end();
    try {
      const bytes = readFileSync(join(site, name));
      const body = changed.get(name)?.(bytes.toString()) ?? bytes;
      answer.writeHead(200, { "content-type": types[extname(name)] ?? "application/octet-stream" });
      answer.end(body);
    } catch {
      answer.writeHead(404).end();
    }
  });
  await new Promise((ready) => server.listen(0, "127.0.0.1", ready));
  return {
    url: `http://127.0.0.1:${server.address().port}/`,
    changed,
    close: () => {
      server.closeAllConnections();
      return new Promise((closed) => server.close(closed));
    },
  };
}

/** The site's own files, as a browser addresses them. */
export const files = pathToFileURL(site).href + "/";

/**
 * Opens a page of one side of the site in a context of its own. What it says to the console,
 * what it throws and every request to anywhere but that side's files is added to `faults`.
 */
export async function visit(browser, url, { setUp, width = 360, height = 780, touch = false, context } = {}) {
  const own = context ?? (await browser.createBrowserContext());
  const page = await own.newPage();
  const faults = [];
  page.on("pageerror", (fault) => faults.push(`script: ${fault.message}`));
  page.on("console", (said) => {
    if (["error", "warn"].includes(said.type())) faults.push(`console: ${said.text()}`);
  });
  const side = url.slice(0, url.lastIndexOf("/") + 1);
  await page.setRequestInterception(true);
  page.on("request", (request) => {
    const asked = request.url();
    const near = side.startsWith("file:")
      ? asked.startsWith("file:") && inside(fileURLToPath(side), fileURLToPath(asked))
      : asked.startsWith(side);
    if (near || asked.endsWith("/favicon.ico") || /^(blob|data):/.test(asked)) return void request.continue();
    faults.push(`asks for ${asked}`);
    request.abort();
  });
  await page.setViewport({ width, height, hasTouch: touch, isMobile: touch });
  if (setUp) await setUp(page);
  await page.goto(url, { waitUntil: "load" });
  return { page, faults, close: () => own.close() };
}

/**
 * A browser and a web space for all tests of a file, and the two places from which they open the
 * pages of one side of the site.
 */
export function stage(side) {
  const folder = `${files}${side}/`;
  const on = { folder, places: [["from a file", () => folder], ["from a web space", () => on.web]] };
  before(async () => {
    const chromium = await start();
    on.close = chromium.close;
    on.browser = chromium.browser;
    on.server = await serve();
    on.web = `${on.server.url}${side}/`;
  });
  after(async () => {
    await on.close?.();
    await on.server?.close();
  });
  return on;
}
