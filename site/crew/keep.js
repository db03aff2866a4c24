// Has the pages of this folder kept for use without a network, where the browser can, and says
// when a new revision of them is waiting.
"use strict";
(() => {
  const note = document.getElementById("revision");
  if (!note || !location.protocol.startsWith("http")) return;
  const link = document.createElement("link");
  link.rel = "manifest";
  link.href = "pages.webmanifest";
  document.head.append(link);
  if (!("serviceWorker" in navigator)) return;
  const watch = (waiting) => {
    if (!waiting) return;
    const tell = () => {
      if (waiting.state === "installed" && navigator.serviceWorker.controller) note.hidden = false;
    };
    waiting.addEventListener("statechange", tell);
    tell();
  };
  const keep = () =>
    navigator.serviceWorker
      .register("offline.js", { updateViaCache: "none" })
      .then((kept) => {
        watch(kept.waiting ?? kept.installing);
        kept.addEventListener("updatefound", () => watch(kept.installing));
      })
      .catch(() => {});
  // All pages are fetched then; what this one still needs goes first.
  addEventListener("load", () => setTimeout(keep, 2000));
})();
