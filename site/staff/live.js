// The script of a live sheet: it draws what the engine says, hands in clocks and chance, and
// keeps strings. Every rule, sentence and number comes from the engine.
"use strict";
(() => {
  const byId = (id) => document.getElementById(id);
  const place = byId("engine");
  const says = byId("says");
  const trouble = byId("trouble");
  const kept = byId("kept");
  const handed = byId("handed");
  const ownKit = byId("kit").textContent;

  let call = null;
  let keys = [];
  let newer = false;
  const waiting = [];
  let busy = false;

  // ---- the engine ----

  const open = (kit) => call('{"ask":"open","live":' + kit + "}");

  // An open run goes on with the kit it began with, whatever this page carries by now.
  const start = async () => {
    call = await window.drillwrightStart();
    const own = open(ownKit);
    keys = own.keys;
    newer = false;
    const kitKey = keys.find((key) => key.endsWith("/kit"));
    const held = (await read([kitKey]))[kitKey];
    if (!held) return;
    try {
      newer = open(held).live !== own.live;
    } catch {
      newer = true;
      open(ownKit);
    }
  };

  // ---- strings that are kept ----

  // What the page has handed over itself: it carries on with that where storage is refused.
  const memory = new Map();
  let refused = false;
  let base = null;

  const settled = (request, done) =>
    new Promise((resolve, reject) => {
      request[done] = () => resolve(request.result);
      request.onerror = () => reject(request.error);
      request.onabort = () => reject(request.error);
    });

  const database = async () => {
    if (base) return base;
    const request = indexedDB.open("drillwright-live", 1);
    request.onupgradeneeded = () => request.result.createObjectStore("kept");
    request.onblocked = () => request.onerror();
    base = await settled(request, "onsuccess");
    base.onversionchange = () => base.close();
    return base;
  };

  const refuse = () => {
    refused = true;
    kept.textContent = kept.dataset.refused;
    kept.className = "kept note";
  };

  const read = async (wanted) => {
    const found = {};
    if (!refused) {
      try {
        const store = (await database()).transaction("kept").objectStore("kept");
        const texts = await Promise.all(
          wanted.map((key) => settled(store.get(key), "onsuccess")),
        );
        wanted.forEach((key, at) => {
          if (texts[at] === undefined) memory.delete(key);
          else memory.set(key, texts[at]);
        });
      } catch {
        refuse();
      }
    }
    for (const key of wanted) if (memory.has(key)) found[key] = memory.get(key);
    return found;
  };

  // "Stored" is said when the browser has written it to the disk, and not before.
  const write = async (strings) => {
    const entries = Object.entries(strings);
    for (const [key, text] of entries) {
      if (text === null) memory.delete(key);
      else memory.set(key, text);
    }
    if (refused || entries.length === 0) return;
    kept.textContent = kept.dataset.storing;
    try {
      const open = await database();
      const writing = open.transaction("kept", "readwrite", { durability: "strict" });
      const store = writing.objectStore("kept");
      for (const [key, text] of entries) {
        if (text === null) store.delete(key);
        else store.put(text, key);
      }
      await settled(writing, "oncomplete");
      kept.textContent = kept.dataset.stored;
    } catch {
      refuse();
      // The view says so too, and offers the file.
      waiting.push({ event: { do: "show" }, at: clock() });
    }
  };

  // A file is handed over at once, and stays in reach as a link.
  const hand = ([name, text]) => {
    const link = document.createElement("a");
    link.download = name;
    link.textContent = name;
    try {
      link.href = URL.createObjectURL(new Blob([text], { type: "application/json" }));
    } catch {
      link.href = "data:application/json;charset=utf-8," + encodeURIComponent(text);
    }
    handed.replaceChildren(handed.dataset.says, " ", link);
    handed.hidden = false;
    link.click();
  };

  // ---- the screen ----

  let lock = null;
  let awake = false;
  const hold = async () => {
    try {
      if (awake && !lock && document.visibilityState === "visible") {
        lock = await navigator.wakeLock.request("screen");
        lock.onrelease = () => (lock = null);
      } else if (!awake && lock) {
        await lock.release();
      }
    } catch {
      // Where there is no such lock the screen goes dark as it is set to.
    }
  };
  document.addEventListener("visibilitychange", hold);

  let timer = null;
  const tick = (wanted) => {
    if (wanted && timer === null) timer = setInterval(() => send({ do: "tick" }), 1000);
    if (!wanted && timer !== null) timer = clearInterval(timer) ?? null;
  };

  // ---- events ----

  const chance = () => [...crypto.getRandomValues(new Uint8Array(16))];
  const boot = chance().join("-");
  const clock = () => ({
    boot,
    steady: performance.now() | 0,
    wall: Date.now(),
    zone: new Date().getTimezoneOffset(),
  });

  const turn = async ({ event, at }) => {
    const stored = await read(keys.filter((key) => !key.endsWith("/kit")));
    const heard = { ask: "live", event, stored, chance: chance(), at, refused, newer };
    const { view, texts, store, file, asks } = call(JSON.stringify(heard));
    if (view) draw(view);
    for (const [id, text] of Object.entries(texts)) {
      const element = byId(id);
      if (element) element[element.tagName === "INPUT" ? "value" : "textContent"] = text;
    }
    awake = asks.includes("awake");
    hold();
    tick(asks.includes("ticks"));
    await write(store);
    if (file) hand(file);
    if (asks.includes("print")) print();
    if (asks.includes("reopen")) {
      await start();
      waiting.push({ event: { do: "show" }, at: clock() });
    }
  };

  // Events are taken one after the other, each with the clocks as they were at the tap; an
  // engine that breaks down is started again, and the page goes on from what is stored.
  const send = async (event) => {
    waiting.push({ event, at: clock() });
    if (busy) return;
    busy = true;
    while (waiting.length > 0) {
      const next = waiting.shift();
      const quiet = next.event.do === "show" || next.event.do === "tick";
      try {
        if (!call) await start();
        await turn(next);
        if (!quiet) trouble.hidden = true;
      } catch (fault) {
        const plain = fault instanceof window.drillwrightStart.Said;
        trouble.textContent = plain ? fault.message : trouble.dataset.says;
        trouble.hidden = false;
        if (!plain) call = null;
        if (!quiet) waiting.push({ event: { do: "show" }, at: clock() });
      }
    }
    busy = false;
  };

  // ---- drawing ----

  // The page changes only where the view differs: a button under a finger stays that button,
  // and a field keeps what is being typed in it.
  const typing = (element) => element === document.activeElement && waiting.length > 0;

  const dress = (element, node) => {
    const wanted = node.with ?? {};
    for (const { name } of [...element.attributes]) {
      // What somebody has folded out stays so.
      if (!(name in wanted) && name !== "open") element.removeAttribute(name);
    }
    for (const [name, value] of Object.entries(wanted)) {
      if (name === "value" && node.tag !== "option") {
        if (element.value !== value && !typing(element)) element.value = value;
      } else if (element.getAttribute(name) !== value) {
        element.setAttribute(name, value);
      }
    }
    if (node.tag === "option" && element.selected !== "selected" in wanted) {
      element.selected = "selected" in wanted;
    }
  };

  const fits = (old, node) =>
    old?.nodeName === node.tag.toUpperCase() && old.id === (node.with?.id ?? "");

  const fill = (element, nodes) => {
    nodes.forEach((node, at) => {
      const old = element.childNodes[at];
      if (typeof node === "string") {
        if (old?.nodeType !== Node.TEXT_NODE) element.insertBefore(new Text(node), old ?? null);
        else if (old.data !== node) old.data = node;
        return;
      }
      const made = fits(old, node) ? old : document.createElement(node.tag);
      if (made !== old) element.replaceChild(made, old ?? element.appendChild(new Text()));
      made.act = node.act;
      fill(made, [...(node.text ? [node.text] : []), ...(node.kids ?? [])]);
      dress(made, node);
    });
    while (element.childNodes.length > nodes.length) element.lastChild.remove();
  };

  // The second tap of a hasty finger on one button is none, but where it is meant to be tapped
  // again and again.
  let tapped = null;
  place.addEventListener("click", ({ target, detail }) => {
    const button = target.closest("button");
    const twice = detail > 1 && button === tapped && !button?.dataset.again;
    tapped = button;
    if (button?.act && !twice) send(button.act);
  });
  place.addEventListener("input", ({ target }) => {
    if (target.act) send({ ...target.act, text: target.value });
  });

  let drawn = false;
  const draw = (view) => {
    fill(place, view.nodes);
    says.textContent = view.says;
    const wanted = view.focus && byId(view.focus);
    if (wanted && drawn && !typing(document.activeElement)) {
      // A new view begins at its head; a mark leaves everything where it is.
      wanted.focus({ preventScroll: view.focus !== "head" });
      if (view.focus === "head") wanted.scrollIntoView();
    }
    drawn = true;
  };

  if (!window.drillwrightEngine || !window.DecompressionStream) return;
  byId("without").hidden = true;
  send({ do: "show" });
})();
