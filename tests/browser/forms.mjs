// What is laminated and what is filled in by hand, measured on paper. Each check returns the faults
// it finds.

import { open } from "./browser.mjs";
import { plain } from "./pages.mjs";
import { sheets, words } from "./print.mjs";

const point = 25.4 / 72;
const wide = { Letter: 215.9, A4: 210 };

/** Margins in millimetres: top, right, bottom, left. */
const ofCard = [8, 9, 8, 9];
const ofSheet = [7, 9, 7, 12];

/** A page as it is laid out on a paper with these margins, in the pixels of the browser. */
async function onPaper(page, paper, [, right, , left]) {
  await page.setViewport({ width: Math.floor(((wide[paper] - right - left) / 25.4) * 96), height: 1000 });
  await page.emulateMediaType("print");
}

/** Runs in the page while it is shown as on paper: sizes of type in points, where they are too small. */
function small(least, cautions) {
  const found = new Set();
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let at = walk.nextNode(); at; at = walk.nextNode()) {
    const of = at.parentElement;
    if (!at.textContent.trim() || of.closest("script, style")) continue;
    const range = document.createRange();
    range.selectNodeContents(at);
    const box = range.getBoundingClientRect();
    if (box.width < 1) continue;
    let size = parseFloat(getComputedStyle(of).fontSize) * 0.75;
    const svg = of.ownerSVGElement;
    if (svg) size *= svg.getBoundingClientRect().width / svg.viewBox.baseVal.width;
    // The place where a caution comes from is no part of it.
    const caution = of.closest(".full, .so-cautions") && !of.closest(".aside, .sig, .so-signal, .so-sub");
    const wanted = caution ? cautions : least;
    // A hundredth of a point is lost where pixels are counted.
    if (size < wanted - 0.02) found.add(`"${at.textContent.trim().slice(0, 30)}" is ${size.toFixed(1)} pt, not ${wanted}`);
  }
  return [...found];
}

/** Runs in the page as a screen shows it: every figure that stands on it, with its unit. */
function figures() {
  const texts = [...document.querySelectorAll("#main :is(td, th[scope=row], dd, p, li, text)")];
  const shown = texts.filter((one) => one.getClientRects().length > 0).map((one) => one.textContent);
  return [...new Set(shown.join(" | ").match(/\d[\d.:,/]*(?:\s(?:%|(?:gpm|psi|gal|scfm|min|ft|in|s|lpm|kpa|bar|l|mm|m)\b))?/gi))];
}

/** The words of each side that lie outside the margins. */
function outside(pdf, margins) {
  return words(pdf).flatMap(({ width, height, found }, at) => {
    const [top, right, bottom, left] = margins.map((side) => side / point - 1);
    // The number of the side stands in the margin.
    const foot = /^(page|of|\d+)$/;
    const out = found.filter(({ box: [x, y, right_, bottom_], text }) =>
      x < left || y < top || right_ > width - right || (bottom_ > height - bottom && !foot.test(text)));
    return out.map(({ text }) => `side ${at + 1}: "${text}" stands in the margin`);
  });
}

/** A rig card on paper: how many sides, nothing lost of what a screen shows, nothing too small. */
export async function laminated(browser, folder, name, paper, change = undefined) {
  const { page, faults } = await open(browser, folder, name, 1280, paper);
  const shown = await page.evaluate(figures);
  if (change) await page.evaluate(change);
  await onPaper(page, paper, ofCard);
  faults.push(...(await page.evaluate(small, 7.1, 7.7)));
  const lines = await page.$$eval(".laminate-by span", (all) => all.map((one) => one.getBoundingClientRect().height / 96 * 25.4));
  if (lines.length === 0) faults.push("no line for changes");
  if (lines.some((high) => high < 8.3)) faults.push(`a line for changes is ${Math.min(...lines).toFixed(1)} mm high`);
  const pdf = await page.pdf({ format: paper, printBackground: true });
  await page.close();
  const texts = sheets(pdf).map(plain);
  const all = texts.join(" ");
  const lost = shown.filter((figure) => !all.includes(plain(figure)));
  faults.push(...lost.map((figure) => `"${figure}" stands on the screen and not on paper`));
  faults.push(...outside(pdf, ofCard));
  texts.forEach((text, at) => {
    const number = `page ${at + 1} of ${texts.length}`;
    if (!text.includes(number)) faults.push(`side ${at + 1} does not say ${number}`);
  });
  return { faults, texts };
}

/** Runs in the page: what is to be written on or crossed, where it is too small. */
function tooSmall(wanted) {
  return wanted.flatMap(([name, selector, way, least]) => {
    const all = [...document.querySelectorAll(selector)].map((one) => one.getBoundingClientRect());
    const sizes = all.filter(({ width }) => width > 0).map((box) => (box[way] / 96) * 25.4);
    const found = sizes.filter((size) => size < least - 0.05);
    return found.length > 0 ? [`${found.length} of ${sizes.length} ${name}: ${Math.min(...found).toFixed(1)} mm, not ${least}`] : [];
  });
}

/** A sign-off sheet on paper: boxes, lines and type large enough, and how many sides it has. */
export async function signed(browser, folder, name, paper) {
  const { page, faults } = await open(browser, folder, name, 1280, paper);
  await onPaper(page, paper, ofSheet);
  faults.push(...(await page.evaluate(small, 7.1, 7.7)));
  faults.push(...(await page.evaluate(tooSmall, [
    ["boxes", ".so-box", "width", 6.6],
    ["boxes", ".so-box", "height", 6.6],
    ["lines to write on", ".so-field, .so-write", "height", 8.4],
    ["lines for signatures", ".so-sign .so-field", "height", 10.5],
  ])));
  const { steps, boxes, signatures } = await page.evaluate(() => ({
    steps: document.querySelectorAll(".so-steps tbody tr").length,
    boxes: document.querySelectorAll(".so-unsafe .so-box").length,
    signatures: document.querySelectorAll(".so-sign .so-field").length,
  }));
  if (boxes === 0) faults.push("no box for a common act");
  if (signatures !== 3) faults.push(`${signatures} lines for signatures`);
  const pdf = await page.pdf({ format: paper, printBackground: true });
  await page.close();
  faults.push(...outside(pdf, ofSheet));
  const sides = sheets(pdf).length;
  // One leaf where the steps fit on its back, a second one beyond.
  if (steps <= 15 && sides > 2) faults.push(`${steps} steps on ${sides} sides`);
  if (sides > 4) faults.push(`${sides} sides`);
  return { faults, steps, sides };
}
