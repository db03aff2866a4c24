// What the files of the site say, without a browser. Each check returns the faults it finds.

import { execFile } from "node:child_process";
import { existsSync } from "node:fs";
import { createRequire } from "node:module";
import { dirname, join, normalize } from "node:path";

import { inside, source } from "./pages.mjs";

const vnu = createRequire(import.meta.url)("vnu-jar");

/** Checks all pages for valid HTML in one run of the validator. */
export function valid(folder, names) {
  const files = names.map((name) => join(folder, name));
  const args = ["-Xss4m", "-jar", vnu, "--format", "json", "--also-check-css", ...files];
  return new Promise((done, fail) => {
    execFile("java", args, { maxBuffer: 1 << 26 }, (fault, _out, said) => {
      try {
        const { messages } = JSON.parse(said);
        // For a page in a file the validator knows no origin and takes 'self' for nothing. Whether
        // a page's own scripts may run is seen in the browser, which reports every refusal.
        // It does not work out the hashes that a policy names either, and knows no paint-order.
        const own = /external (script|stylesheet) “[\w.-]+” blocked|Inline (script|style) violates|“paint-order”/;
        const told = messages.filter(({ message }) => !own.test(message));
        done(
          told.map(({ url, lastLine, message }) => `${url}, line ${lastLine}: ${message}`),
        );
      } catch {
        fail(fault ?? new Error(said));
      }
    });
  });
}

const entity = { amp: "&", quot: '"', lt: "<", gt: ">", "#39": "'", "#x27": "'", "#x2F": "/" };

function attributes(text, name) {
  return [...text.matchAll(new RegExp(`\\s${name}="([^"]*)"`, "g"))].map(([, value]) =>
    value.replaceAll(/&([#\w]+);/g, (whole, key) => entity[key] ?? whole),
  );
}

/** Links of a page that lead nowhere, out of `border`, or to an id that is not there. */
export function links(folder, name, border = folder) {
  const text = source(folder, name);
  const faults = [];
  for (const link of [...attributes(text, "href"), ...attributes(text, "src")]) {
    if (/^(https?|mailto|data):/.test(link)) continue;
    const [address, id] = link.split("#");
    const [way] = address.split("?");
    const file = way === "" ? join(folder, name) : join(folder, dirname(name), decodeURI(way));
    if (!inside(border, normalize(file))) {
      faults.push(`${link} leads out`);
    } else if (!existsSync(file)) {
      faults.push(`${link} leads nowhere`);
    } else if (id) {
      const target = source("", file);
      if (!attributes(target, "id").includes(decodeURIComponent(id))) {
        faults.push(`${link}: no such id`);
      }
    }
  }
  return faults;
}

/** The private texts that a page marks as such: seeds, keys' codes, people's names. */
export function privateTexts(text) {
  const marked = /<(\w+)[^>]*\sdata-private(?:="[^"]*")?[^>]*>([^<]+)</g;
  return [...text.matchAll(marked)].map(([, , said]) => said.trim()).filter(Boolean);
}

/** What a crew page must never hold: a private text of the staff's, or a mark of one. */
export function leaks(text, secrets) {
  const faults = secrets.filter((secret) => text.includes(secret)).map((s) => `says "${s}"`);
  if (/\sdata-(private|key|seed)\b/.test(text)) faults.push("has a private element");
  if (/\bseed\b/i.test(text.replaceAll(/<[^>]*>/g, " "))) faults.push("speaks of a seed");
  return faults;
}
