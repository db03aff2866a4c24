// The compiled pages that the tests look at.

import { existsSync, readFileSync, readdirSync } from "node:fs";
import { dirname, join, relative, resolve, sep } from "node:path";
import { fileURLToPath } from "node:url";

const here = dirname(fileURLToPath(import.meta.url));

/** The site's folder: the committed one, or the one named in DRILLWRIGHT_SITE. */
export const site = resolve(process.env.DRILLWRIGHT_SITE ?? join(here, "../../site"));

/** Deliberately faulty pages, on which every check must speak up. */
export const faulty = join(here, "faulty");

/** The sentence that stands on every page and every sheet. */
export const sentence =
  "Local procedures, the maker's manual and the officer in charge decide.";

/** The second and third numbered sheet of a drill and rig: its first with other figures, and
 * printed with it on the page of all sheets. */
export const again = /\/sheet-[2-9]\d*\.html$/;

/** Every page below a folder, by name in order, with forward slashes. */
export function pagesIn(folder) {
  if (!existsSync(folder)) return [];
  return readdirSync(folder, { recursive: true })
    .map((name) => name.split(sep).join("/"))
    .filter((name) => name.endsWith(".html"))
    .sort();
}

/** The text of a page's file. */
export function source(folder, name) {
  return readFileSync(join(folder, name), "utf8");
}

/** Whether a path lies inside a folder. */
export function inside(folder, path) {
  const way = relative(folder, path);
  return way !== ".." && !way.startsWith(".." + sep) && resolve(path) !== sep;
}

/** Text with every run of blanks as one, straight quotation marks and small letters. */
export function plain(text) {
  return text
    .replaceAll(/[\u2018\u2019]/g, "'")
    .replaceAll(/[\u201c\u201d]/g, '"')
    .replaceAll(/[\u00ad\u200b]/g, "")
    .replaceAll(/\s+/g, " ")
    .trim()
    .toLowerCase();
}
