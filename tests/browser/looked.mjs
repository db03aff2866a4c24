// What was looked at before: a page that passed, and of which nothing has changed since, is not
// looked at again. Kept in `.target/looked`, one file for each page and way of looking; from a
// fresh clone, and with DRILLWRIGHT_LOOK=all, everything is looked at.

import { execFileSync, spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { existsSync, mkdirSync, readFileSync, renameSync, writeFileSync } from "node:fs";
import { dirname, join, normalize } from "node:path";
import { fileURLToPath } from "node:url";

const here = dirname(fileURLToPath(import.meta.url));

const hash = (bytes) => createHash("sha256").update(bytes).digest("hex");

/** Names of the files that a file loads when it is opened; links lead to pages of their own. */
function loads(text) {
  const tags = text.matchAll(/<(?:link|script|img|source|iframe|use)\b[^>]*?\s(?:href|src)="([^"#?]+)/g);
  const styles = text.matchAll(/url\(\s*["']?([^"')#?]+)|@import\s+["']([^"']+)/g);
  const engines = [...text.matchAll(/\sdata-engine="([^"]+)"/g)].flatMap(([, one]) => [[, `${one}.wasm`], [, `${one}.js`]]);
  const names = [...tags, ...styles, ...engines].map(([, one, other]) => one ?? other);
  return names.filter((name) => !/^(data|https?):/.test(name));
}

/** A page with everything that it loads, as one text of names and hashes. */
export function whole(folder, name, seen = new Set()) {
  if (seen.has(name)) return "";
  seen.add(name);
  const file = join(folder, name);
  if (!existsSync(file)) return `${name} is not there\n`;
  const bytes = readFileSync(file);
  const own = `${name} ${hash(bytes)}\n`;
  if (!/\.(html|css|svg)$/.test(name)) return own;
  const parts = loads(bytes.toString("utf8")).map((part) => normalize(join(dirname(name), decodeURI(part))));
  return own + parts.sort().map((part) => whole(folder, part, seen)).join("");
}

/** The files that look: this folder's own, and the packages they use by the lock file. */
function eyes(files) {
  const names = [...files, "looked.mjs", "browser.mjs", "pages.mjs", "package-lock.json"].sort();
  return names.map((name) => `${name} ${hash(readFileSync(join(here, name)))}\n`).join("");
}

/** What a page looks like with depends on the browser, the fonts, the reader of the prints. */
let around;
function machine() {
  around ??= [
    execFileSync(process.env.CHROMIUM ?? "/usr/bin/chromium", ["--version"], { encoding: "utf8" }),
    spawnSync("pdftotext", ["-v"], { encoding: "utf8" }).stderr,
    execFileSync("fc-list", { encoding: "utf8", maxBuffer: 1 << 26 }).split("\n").sort().join("\n"),
    process.version,
  ].join("\n");
  return around;
}

/**
 * One way of looking: `files` are those of this folder that it is written in, `with` whatever
 * else it is told. `was` says whether a page passed before as it stands; `passed` keeps that.
 */
export class Looked {
  constructor(way, files, told = "", { store = join(here, "../../.target/looked"), all = process.env.DRILLWRIGHT_LOOK === "all", about = machine } = {}) {
    this.way = way;
    this.store = store;
    this.all = all;
    this.by = () => (this.eyes ??= `${way}\n${told}\n${eyes(files)}${about()}\n`);
  }

  key(folder, name) {
    return hash(this.by() + whole(folder, name));
  }

  file(name) {
    return join(this.store, `${this.way}+${name.replaceAll("/", "+")}`);
  }

  was(folder, name) {
    const kept = this.file(name);
    return !this.all && existsSync(kept) && readFileSync(kept, "utf8") === this.key(folder, name);
  }

  passed(folder, name) {
    mkdirSync(this.store, { recursive: true });
    // Whole or not at all: a broken note would be taken for another page's.
    const draft = `${this.file(name)}.${process.pid}`;
    writeFileSync(draft, this.key(folder, name));
    renameSync(draft, this.file(name));
  }
}
