// Waits for the preview to say that this page has changed, and loads it again. It asks by a script
// element, because the pages' own policy lets them fetch nothing; an answer comes when there is
// something to say.
"use strict";
(() => {
  const me = document.currentScript;
  let asked = 0;
  const ask = () => {
    // A tab that nobody looks at leaves the few connections of a browser to those that are.
    if (document.hidden) {
      document.addEventListener("visibilitychange", ask, { once: true });
      return;
    }
    const next = document.createElement("script");
    next.src = `${me.dataset.next}&ask=${++asked}`;
    next.addEventListener("load", () => next.remove());
    next.addEventListener("error", () => {
      // The preview has ended, or was begun again: then this address leads nowhere, and asking
      // seldom costs nothing.
      next.remove();
      setTimeout(ask, 2000);
    });
    document.head.append(next);
  };
  addEventListener("preview", (event) => {
    if (event.detail === "changed") location.reload();
    else ask();
  });
  ask();
})();
