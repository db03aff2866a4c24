// Keeps the pages of this folder for use without a network. One revision of them all is fetched
// whole; a new one waits until no page of the old one is open any more, so that nothing is
// swapped under somebody's hands.
"use strict";
const revision = "2646d614d754663f";
const files = [
"cautions.html",
"chain-tender-evolution-tender-3.html",
"chain-whole-evolution-engine-7.html",
"concentrates.html",
"drill-exercise.html",
"drill-flush-b.html",
"drill-flush.html",
"drill-inspection.html",
"drill-percent-change.html",
"drill-purge.html",
"drill-refill-b.html",
"drill-refill.html",
"drill-startup-b.html",
"drill-startup.html",
"drill-supply-change.html",
"drill-totals-b.html",
"drill-totals.html",
"engine-practice.js",
"engine-practice.wasm",
"engine-walk.js",
"engine-walk.wasm",
"family-accuracy.html",
"family-class-b.html",
"family-compressed-air-foam.html",
"family-eductor.html",
"family-endurance.html",
"family-flush.html",
"family-heat.html",
"family-hydraulics.html",
"family-proportioning.html",
"family-refill.html",
"family-safety.html",
"figures.html",
"find.js",
"glossary.html",
"icon.svg",
"index.html",
"keep.js",
"leaf.js",
"lesson-change.html",
"lesson-class-b.html",
"lesson-clearing.html",
"lesson-fluorine.html",
"lesson-how-long.html",
"lesson-keep-up.html",
"lesson-pressure.html",
"lesson-startup.html",
"lesson-stock.html",
"lesson-why-percent.html",
"page.js",
"plain.css",
"practice-at-the-panel-1.html",
"practice-at-the-panel-2.html",
"practice-at-the-panel.html",
"practice-drill-by-drill-1.html",
"practice-drill-by-drill-2.html",
"practice-drill-by-drill.html",
"practice-figures-at-hand-1.html",
"practice-figures-at-hand-2.html",
"practice-figures-at-hand.html",
"practice-ten-to-know-1.html",
"practice-ten-to-know-2.html",
"practice-ten-to-know.html",
"practice-without-calculator-1.html",
"practice-without-calculator-2.html",
"practice-without-calculator.html",
"rig-engine-7.html",
"rig-tender-3.html",
"search.html",
"search.js",
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
"sources.html",
"start.js",
"walk-exercise.html",
"walk-flush-b.html",
"walk-flush.html",
"walk-inspection.html",
"walk-percent-change.html",
"walk-purge.html",
"walk-refill-b.html",
"walk-refill.html",
"walk-startup-b.html",
"walk-startup.html",
"walk-supply-change.html",
"walk-totals-b.html",
"walk-totals.html"
];
const mine = "tarn-valley-foam/crew/";
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
