// How a page looks on a phone and on a desk. Each check returns the faults it finds.

import { readFileSync } from "node:fs";
import { createRequire } from "node:module";

import { open } from "./browser.mjs";

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

/** Widths in CSS pixels: a small phone, a tablet and a desk. */
export const widths = [360, 820, 1280];

/** What the colours of a page decide; all else is the same in light and in dark, and asked once. */
const byColour = ["color-contrast", "link-in-text-block"];

/** Runs in the page: what is wider than the window and cannot be scrolled on its own. */
function tooWide() {
  const found = [];
  const root = document.documentElement;
  if (root.scrollWidth > root.clientWidth) {
    found.push(`the page is ${root.scrollWidth} wide in a window of ${root.clientWidth}`);
  }
  const scrolls = (element) => {
    for (let at = element.parentElement; at; at = at.parentElement) {
      if (["auto", "scroll"].includes(getComputedStyle(at).overflowX)) return true;
    }
    return false;
  };
  for (const element of document.body.querySelectorAll("*")) {
    const { right, width } = element.getBoundingClientRect();
    const hidden = getComputedStyle(element).visibility === "hidden";
    if (width > 0 && right > root.clientWidth + 1 && !hidden && !scrolls(element)) {
      const text = (element.textContent ?? "").trim().slice(0, 40);
      found.push(`<${element.localName}> "${text}" ends at ${Math.round(right)}`);
      break;
    }
  }
  return found;
}

/**
 * Looks at a page as it stands: at every size that is named whether anything is too wide, and at
 * a small phone's, a tablet's and a desk's width what axe finds, in light and in dark.
 */
export async function viewed(page, at = [[page.viewport().width, page.viewport().height]], looked = widths) {
  const faults = [];
  const before = page.viewport();
  await page.evaluate(axe);
  for (const [width, height] of at) {
    if (width !== before.width || height !== before.height) await page.setViewport({ ...before, width, height });
    faults.push(...(await page.evaluate(tooWide)).map((fault) => `${width} px: ${fault}`));
    for (const scheme of looked.includes(width) ? ["light", "dark"] : []) {
      await page.emulateMediaFeatures([{ name: "prefers-color-scheme", value: scheme }]);
      const rules = scheme === "dark" ? { runOnly: byColour } : {};
      const { violations } = await page.evaluate((asked) => globalThis.axe.run(asked), {
        preload: false,
        resultTypes: ["violations"],
        ...rules,
      });
      for (const { id, help, nodes } of violations) {
        faults.push(`${width} px, ${scheme}: ${id}: ${help}: ${nodes[0]?.html}`);
      }
    }
  }
  return faults;
}

/** Loads a page once and looks at it at each width. */
export async function looks(browser, folder, name) {
  const { page, faults } = await open(browser, folder, name, widths[0]);
  faults.push(...(await viewed(page, widths.map((width) => [width, 800]))));
  await page.close();
  return faults;
}
