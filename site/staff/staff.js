// Shows the runs that were asked for, and an open run of a live sheet that this device holds.
"use strict";
(() => {
  const runs = [...document.querySelectorAll("#runs tbody tr")];
  const filters = document.querySelector(".filter");
  if (filters) {
    filters.hidden = false;
    filters.addEventListener("click", ({ target }) => {
      const chosen = target.closest("[data-filter]");
      if (!chosen) return;
      for (const one of filters.querySelectorAll("[data-filter]")) one.setAttribute("aria-pressed", String(one === chosen));
      for (const run of runs) run.hidden = !run.dataset.has.split(" ").includes(chosen.dataset.filter);
    });
  }
  // Only where a live sheet has been open before: to ask for the store would else make it.
  const place = document.getElementById("openrun");
  if (!place || !indexedDB.databases) return;
  const settled = (request) => new Promise((done, failed) => Object.assign(request, { onsuccess: () => done(request.result), onerror: () => failed(request.error) }));
  const look = async () => {
    const known = await indexedDB.databases();
    if (!known.some(({ name }) => name === "drillwright-live")) return;
    const kept = (await settled(indexedDB.open("drillwright-live", 1))).transaction("kept").objectStore("kept");
    const keys = await settled(kept.getAllKeys());
    const open = keys.map((key) => /^drillwright\/[^/]+\/(live-[^/]+)\/run$/.exec(key)).find(Boolean);
    const link = open && document.querySelector(`.starts a[href="${open[1]}.html"]`);
    if (!link) return;
    place.querySelector("a").href = `${open[1]}.html`;
    document.getElementById("opensays").textContent = link.textContent.trim();
    place.hidden = false;
  };
  look().catch(() => {});
})();
