// Keeps the pages of this folder for use without a network. One revision of them all is fetched
// whole; a new one waits until no page of the old one is open any more, so that nothing is
// swapped under somebody's hands.
"use strict";
const revision = "{{ revision }}";
const files = [
{{ files }}
];
const mine = "{{ folder }}/";
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
