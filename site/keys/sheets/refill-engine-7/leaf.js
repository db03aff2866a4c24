// Folds the cautions of a page once they were read, and remembers where a reader was last, so that
// the index can lead back there. Nothing of it leaves the browser.
"use strict";
(() => {
  const kept = {
    get(key) {
      try {
        return localStorage.getItem(key);
      } catch {
        return null;
      }
    },
    set(key, text) {
      try {
        localStorage.setItem(key, text);
      } catch {
        // A browser that keeps nothing shows the cautions open each time, which is the safe side.
      }
    },
  };
  const fold = document.querySelector("details[data-fold]");
  const read = fold?.querySelector("[data-read]");
  if (read) {
    // Other words have another name: a changed caution is open again.
    const name = `read ${fold.dataset.fold}`;
    if (kept.get(name)) fold.open = false;
    read.hidden = false;
    read.addEventListener("click", () => {
      kept.set(name, "yes");
      fold.open = false;
      fold.querySelector("summary").focus();
    });
  }
  const { kind } = document.body.dataset;
  const file = location.pathname.split("/").pop();
  if (["lesson", "rig", "drill"].includes(kind)) kept.set(`last ${kind}`, file);
  if (kind !== "index") return;
  document.addEventListener("DOMContentLoaded", () => {
    const form = document.querySelector("form.find");
    if (form) {
      form.hidden = false;
      form.addEventListener("submit", (event) => {
        event.preventDefault();
        location.href = `search.html?q=${encodeURIComponent(form.querySelector("input").value)}`;
      });
    }
    for (const door of document.querySelectorAll("[data-door]")) {
      const last = kept.get(`last ${door.dataset.door}`);
      const same = [...door.querySelectorAll("template")].find((one) => one.dataset.file === last);
      if (!same) continue;
      door.querySelector(".key").href = last;
      door.querySelector(".what").replaceChildren(same.content.cloneNode(true));
    }
  });
})();
