// Keeps the pages of this folder for use without a network. One revision of them all is fetched
// whole; a new one waits until no page of the old one is open any more, so that nothing is
// swapped under somebody's hands.
"use strict";
const revision = "3154a59c96dda387";
const files = [
"chain-tender-evolution-tender-3.html",
"chain-whole-evolution-engine-7.html",
"coverage.html",
"engine-live.js",
"engine-live.wasm",
"evaluator.html",
"fields.html",
"icon.svg",
"index.html",
"keep.js",
"leaf-change.html",
"leaf-class-b.html",
"leaf-clearing.html",
"leaf-fluorine.html",
"leaf-how-long.html",
"leaf-keep-up.html",
"leaf-pressure.html",
"leaf-startup.html",
"leaf-stock.html",
"leaf-why-percent.html",
"leaf.js",
"live-exercise.html",
"live-flush-b.html",
"live-flush.html",
"live-inspection.html",
"live-percent-change.html",
"live-purge.html",
"live-refill-b.html",
"live-refill.html",
"live-startup-b.html",
"live-startup.html",
"live-supply-change.html",
"live-tender-evolution.html",
"live-totals-b.html",
"live-totals.html",
"live-whole-evolution.html",
"narrated-change-too-soon-key.html",
"narrated-change-too-soon-sheet.html",
"narrated-change-too-soon.html",
"narrated-flush-met-key.html",
"narrated-flush-met-sheet.html",
"narrated-flush-met.html",
"narrated-purge-stopped-key.html",
"narrated-purge-stopped-sheet.html",
"narrated-purge-stopped.html",
"page.js",
"plain.css",
"run-tv-2026-001.html",
"run-tv-2026-002.html",
"run-tv-2026-003.html",
"run-tv-2026-011.html",
"run-tv-2026-012.html",
"run-tv-2026-013.html",
"run-tv-2026-014.html",
"run-tv-2026-015.html",
"run-tv-2026-016.html",
"run-tv-2026-017.html",
"run-tv-2026-021.html",
"run-tv-2026-022.html",
"run-tv-2026-023.html",
"run-tv-2026-024.html",
"run-tv-2026-025.html",
"run-tv-2026-026.html",
"run-tv-2026-031.html",
"run-tv-2026-032.html",
"run-tv-2026-033.html",
"sheet-exercise-engine-7.html",
"sheet-exercise-tender-3.html",
"sheet-flush-b-tender-3.html",
"sheet-flush-engine-7.html",
"sheet-inspection-engine-7.html",
"sheet-inspection-tender-3.html",
"sheet-percent-change-engine-7.html",
"sheet-purge-engine-7.html",
"sheet-refill-b-tender-3.html",
"sheet-refill-engine-7.html",
"sheet-startup-b-tender-3.html",
"sheet-startup-engine-7.html",
"sheet-supply-change-engine-7.html",
"sheet-supply-change-tender-3.html",
"sheet-totals-b-tender-3.html",
"sheet-totals-engine-7.html",
"staff.js",
"start.js"
];
const mine = "tarn-valley-foam/staff/";
const cache = mine + revision;

self.addEventListener("install", (event) => {
  const fetched = files.map((file) => new Request(file, { cache: "reload" }));
  event.waitUntil(caches.open(cache).then((kept) => kept.addAll(fetched)));
});

self.addEventListener("activate", (event) => {
  const old = (name) => name.startsWith(mine) && name !== cache;
  const drop = (names) => Promise.all(names.filter(old).map((name) => caches.delete(name)));
  event.waitUntil(caches.keys().then(drop).then(() => self.clients.claim()));
});

self.addEventListener("fetch", (event) => {
  if (event.request.method !== "GET") return;
  const answer = async () => {
    const kept = await caches.open(cache);
    const found = await kept.match(event.request, { ignoreSearch: true });
    return found ?? fetch(event.request);
  };
  event.respondWith(answer());
});
