// How a page looks on a phone and on a desk. Each check returns the faults it finds.

import { readFileSync } from "node:fs";
import { createRequire } from "node:module";

import { shown } from "./browser.mjs";

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
 * Runs in the page: asks axe of the colours of every text or, where not everything is asked, of those
 * texts whose look is not among the known ones. A look is all that decides whether the text can be
 * read: its colour, size and weight, and what lies behind it up to the page. Returns the faults, and
 * the looks that axe judged and found right.
 */
async function coloured({ rules, known, everything }) {
  const behind = new Map();
  const ground = (element) => {
    if (!element) return "";
    if (!behind.has(element)) {
      const { backgroundColor, backgroundImage, opacity, filter, position } = getComputedStyle(element);
      const own = [backgroundColor, backgroundImage, opacity, filter, position].join(" ");
      const under = ground(element.parentElement);
      behind.set(element, own === "rgba(0, 0, 0, 0) none 1 none static" ? under : `${own}<${under}`);
    }
    return behind.get(element);
  };
  const look = (element) => {
    const { color, fontSize, fontWeight, textDecorationLine, textShadow } = getComputedStyle(element);
    // A link in a text is told from the text around it by its colour.
    const around = getComputedStyle(element.parentElement ?? element).color;
    return [element.localName === "a", color, fontSize, fontWeight, textDecorationLine, textShadow, around, ground(element)].join("|");
  };
  const written = [...document.body.querySelectorAll("*")].filter((element) =>
    element.matches("input, select, textarea") ||
    [...element.childNodes].some((node) => node.nodeType === Node.TEXT_NODE && node.data.trim() !== ""));
  const looks = new Map(written.map((element) => [element, look(element)]));
  const seen = new Set(known);
  const asked = written.filter((element) => everything || !seen.has(looks.get(element)));
  if (asked.length === 0) return { faults: [], right: [] };
  // Very many parts cost more than the whole page does.
  const of = everything || asked.length > 200 ? document : { include: asked };
  const { violations, passes } = await globalThis.axe.run(of, {
    preload: false,
    runOnly: rules,
    resultTypes: ["violations", "passes"],
    selectors: false,
    elementRef: true,
  });
  const judged = passes.flatMap(({ nodes }) => nodes.map(({ element }) => looks.get(element)));
  return {
    faults: violations.map(({ id, help, nodes }) => `${id}: ${help}: ${nodes[0]?.html}`),
    right: [...new Set(judged)].filter((one) => one !== undefined && !seen.has(one)),
  };
}

/** Looks of texts that axe found right on some page before, at whatever width and in whatever scheme. */
const known = new Set();

/** Kinds of pages, in their schemes and widths, of which every text was asked. */
const kinds = new Set();

/**
 * What axe finds in the colours of a page as it stands. Of the first page of a kind every text is
 * asked, because what lies over what is decided by the kind's own layout.
 */
async function colourFaults(page, seen) {
  const kind = `${seen} ${await page.evaluate(() => document.body.dataset.kind ?? location.pathname)}`;
  const everything = !kinds.has(kind);
  kinds.add(kind);
  const { faults, right } = await page.evaluate(coloured, { rules: byColour, known: [...known], everything });
  // A text may fail for what lies over it; then nothing of this page is taken for right.
  if (faults.length === 0) for (const one of right) known.add(one);
  return faults;
}

/** What axe finds in all else. */
async function otherFaults(page) {
  const { violations } = await page.evaluate((off) => globalThis.axe.run({
    preload: false,
    resultTypes: ["violations"],
    rules: Object.fromEntries(off.map((rule) => [rule, { enabled: false }])),
  }), byColour);
  return violations.map(({ id, help, nodes }) => `${id}: ${help}: ${nodes[0]?.html}`);
}

/**
 * Looks at a page as it stands: at every size that is named whether anything is too wide, and at
 * a small phone's, a tablet's and a desk's width what axe finds, in light and in dark. Colours are two
 * thirds of its work: they are asked of the first page of a kind whole, and beyond it of every text
 * that does not look like one that was found right.
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
      const found = await colourFaults(page, `${width} ${scheme}`);
      if (scheme === "light") found.push(...(await otherFaults(page)));
      faults.push(...found.map((fault) => `${width} px, ${scheme}: ${fault}`));
    }
  }
  return faults;
}

/** Loads a page once and looks at it at each width. */
export const looks = (browser, folder, name) =>
  shown(browser, folder, name, { width: widths[0] }, async (page, faults) => {
    faults.push(...(await viewed(page, widths.map((width) => [width, 800]))));
    return faults;
  });
