// The script of a page with an engine: it draws what the engine says, hands in clocks and chance,
// and keeps strings. Every rule, sentence and number comes from the engine.
"use strict";
(() => {
  const { able, started, Said, came } = engine;
  const byId = (id) => document.getElementById(id);
  const place = byId("engine");
  if (!place) return;
  const [says, trouble, kept, handed] = ["says", "trouble", "kept", "handed"].map(byId);

  let call = null;
  let keys = [];
  // What the engine says is open. An event that was meant for something else does nothing.
  let of = "";
  // What is looked at of it; an engine that was started again is asked with it and shows the same.
  let look = "";

  const chance = () => [...crypto.getRandomValues(new Uint8Array(16))];
  const boot = chance().join("-");
  const clock = () => ({ boot, steady: performance.now() | 0, wall: Date.now(), zone: new Date().getTimezoneOffset() });

  // ---- two stores behind one face ----
  // read: what stands under some keys. write: stores all of it; or nothing, and says false, where
  // another tab has stored something meanwhile that this page does not know. hear: another tab of
  // this browser has stored something; tell: this one has.

  const settled = (request, done) =>
    new Promise((resolve, reject) => {
      request[done] = () => resolve(request.result);
      request.onerror = request.onabort = () => reject(request.error);
    });

  const strings = {
    read: async (wanted) => wanted.map((key) => localStorage.getItem(key) ?? undefined),
    write: async (entries, knows) => {
      if (!entries.every(([key]) => knows(key, localStorage.getItem(key) ?? undefined))) return false;
      for (const [key, text] of entries) {
        if (text === null) localStorage.removeItem(key);
        else localStorage.setItem(key, text);
      }
      return true;
    },
    // The browser tells the other tabs itself; a key of null is all of them.
    hear: (stored) => addEventListener("storage", ({ key }) => (key === null || keys.includes(key)) && stored()),
    tell: () => {}, erase: async () => {},
  };

  const base = async () => {
    const request = indexedDB.open("drillwright-live", 1);
    request.onupgradeneeded = () => request.result.createObjectStore("kept");
    request.onblocked = () => request.onerror();
    const opened = await settled(request, "onsuccess");
    opened.onversionchange = () => opened.close();
    return opened;
  };
  let opened = null;
  const transaction = async (...how) => (await (opened ??= base())).transaction("kept", ...how);
  let bell = null;
  const database = {
    read: async (wanted) => {
      const store = (await transaction()).objectStore("kept");
      return Promise.all(wanted.map((key) => settled(store.get(key), "onsuccess")));
    },
    // One transaction: a browser that is killed in it has stored nothing of it. Tabs wait for each
    // other's.
    write: async (entries, knows) => {
      const writing = await transaction("readwrite", { durability: "strict" });
      const store = writing.objectStore("kept");
      try {
        const there = await Promise.all(entries.map(([key]) => settled(store.get(key), "onsuccess")));
        if (!entries.every(([key], at) => knows(key, there[at]))) return writing.abort() ?? false;
        for (const [key, text] of entries) {
          if (text === null) store.delete(key);
          else store.put(text, key);
        }
      } catch (fault) {
        // What was taken before it is taken back.
        writing.abort();
        throw fault;
      }
      await settled(writing, "oncomplete");
      return true;
    },
    hear: (stored) => {
      try {
        bell = new BroadcastChannel("drillwright-live");
        bell.onmessage = ({ data }) => keys.some((key) => data.includes(key)) && stored();
      } catch {
        // Without it a tab learns of another's when it comes back, or with its next event.
      }
    },
    tell: (stored) => bell?.postMessage(stored),
    erase: async () => {
      const writing = await transaction("readwrite", { durability: "strict" });
      writing.objectStore("kept").clear();
      await settled(writing, "oncomplete");
    },
  };

  const store = place.dataset.store === "database" ? database : strings;

  // What this page knows to be stored. Where storage is refused it carries on with that.
  const memory = new Map();
  let refused = false;

  const say = (how) => {
    kept.textContent = kept.dataset[how] ?? "";
    kept.classList.toggle("note", how === "refused");
  };

  const refuse = () => {
    refused = true;
    say("refused");
  };

  const remember = (entries) => {
    for (const [key, text] of entries) {
      if (text === null || text === undefined) memory.delete(key);
      else memory.set(key, text);
    }
  };

  // Whether anything stands there that this page did not know.
  const learn = async () => {
    if (refused) return false;
    try {
      const texts = await store.read(keys);
      const other = keys.some((key, at) => texts[at] !== memory.get(key));
      remember(keys.map((key, at) => [key, texts[at]]));
      return other;
    } catch {
      refuse();
      return true;
    }
  };

  // "Stored" is said when the browser has written it to the disk, and not before.
  const write = async (wanted) => {
    const entries = Object.entries(wanted);
    if (entries.length === 0) return true;
    const knows = (key, text) => !keys.includes(key) || text === memory.get(key);
    try {
      if (!refused) {
        say("storing");
        if (!(await store.write(entries, knows))) return false;
        store.tell(Object.keys(wanted));
        say("stored");
      }
      remember(entries);
    } catch {
      remember(entries);
      refuse();
      // The view says so too, and offers the file.
      await handIn();
    }
    return true;
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
    if (handed) {
      handed.replaceChildren(handed.dataset.says, " ", link);
      handed.hidden = false;
    }
    link.click();
  };

  const texts = async (wanted) => {
    const stored = refused ? [] : await store.read(wanted);
    return wanted.map((key, at) => memory.get(key) ?? stored[at]).filter((text) => text !== undefined);
  };

  const erased = async () => {
    memory.clear();
    if (refused) return;
    await store.erase();
    store.tell(keys);
  };

  const handOver = async ([name, key]) => {
    const text = memory.get(key) ?? (await store.read([key]))[0];
    if (text === undefined) send(null);
    else hand([name, text]);
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

  let timer = null;
  const tick = (wanted) => {
    if (wanted && timer === null) timer = setInterval(() => send({ do: "tick" }), 1000);
    if (!wanted && timer !== null) timer = clearInterval(timer) ?? null;
  };

  // ---- the engine ----

  const start = async () => {
    const opening = await started();
    const { content, textContent } = byId("kit");
    const text = content?.textContent ?? textContent;
    keys = opening(`{"ask":"open","${place.dataset.kit}":${text}}`).keys;
    call = opening;
    await again();
  };

  const ask = (what) => {
    const turn = call(JSON.stringify(what));
    of = turn.of;
    look = turn.look ?? "";
    if (turn.view) draw(turn.view);
    for (const [id, text] of Object.entries(turn.texts)) {
      const element = byId(id);
      if (element) element[element.tagName === "INPUT" ? "value" : "textContent"] = text;
    }
    awake = turn.asks.includes("awake");
    hold();
    tick(turn.asks.includes("ticks"));
    return turn;
  };

  // What is stored goes in once: when the page opens, when it comes back, or when another tab has
  // stored something.
  const handIn = async () => {
    const stored = Object.fromEntries(keys.filter((key) => memory.has(key)).map((key) => [key, memory.get(key)]));
    const turn = ask({ ask: "stored", stored, refused, look, at: clock(), chance: chance() });
    if (!(await write(turn.store))) await again();
  };

  const again = async () => {
    await learn();
    await handIn();
  };

  // Where another tab was quicker the event is taken once more, on top of what that tab stored.
  const take = async (tap) => {
    const turn = ask({ ask: "tap", ...tap, look, chance: chance() });
    if (!(await write(turn.store))) {
      await again();
      return take(tap);
    }
    if (turn.file) hand(turn.file);
    if (turn.fetch) await handOver(turn.fetch);
    // Taken at once: what waits behind it was meant for what stands then.
    if (turn.gather?.length) await take({ ...tap, event: { do: "together", texts: await texts(turn.gather) } });
    if (turn.asks.includes("erase")) await erased();
    if (turn.asks.includes("print")) print();
  };

  // Events are taken one after the other, each with the clocks as they were at the tap; an engine
  // that breaks down is started again, and the page goes on from what is stored. Nothing instead
  // of an event: the page looks whether anything was stored meanwhile.
  const waiting = [];
  let busy = false;
  const send = async (event) => {
    waiting.push(event && { event, at: clock(), of });
    if (busy) return;
    busy = true;
    while (waiting.length > 0) {
      const next = waiting.shift();
      const quiet = !next || next.event.do === "tick";
      try {
        if (!call) {
          await start();
          // An engine that came after all is told of by its view.
          if (!drawn) trouble.hidden = true;
          // What was tapped while nothing was open yet was meant for what opens.
          if (next?.of === "") next.of = of;
        }
        if (next) await take(next);
        else if (await learn()) await handIn();
        if (!quiet) trouble.hidden = true;
      } catch (fault) {
        const plain = fault instanceof Said;
        // An engine that never came did not break down.
        trouble.textContent = plain ? fault.message : trouble.dataset[came() ? "says" : "missing"];
        if (!came()) place.textContent = "";
        trouble.hidden = false;
        if (!plain) call = null;
        if (!quiet) waiting.push(null);
      }
    }
    busy = false;
    drawn = call !== null;
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
    for (const [tag, state] of [["option", "selected"], ["input", "checked"]]) {
      if (node.tag === tag && element[state] !== state in wanted) element[state] = state in wanted;
    }
  };

  // A drawing that the page holds once, shown where the engine wants it, as its attributes say.
  const copy = (element, id) => {
    if (element.copied !== id) element.replaceChildren(byId(id)?.content.cloneNode(true) ?? "");
    element.copied = id;
  };

  const fits = (old, node) => old?.nodeName === node.tag.toUpperCase() && old.id === (node.with?.id ?? "");

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
      if (node.with?.["data-copy"]) copy(made, node.with["data-copy"]);
      else fill(made, [...(node.text ? [node.text] : []), ...(node.kids ?? [])]);
      dress(made, node);
    });
    while (element.childNodes.length > nodes.length) element.lastChild.remove();
  };

  let drawn = false;
  const draw = (view) => {
    const old = view.focus && byId(view.focus);
    fill(place, view.nodes);
    says.textContent = view.says;
    const wanted = view.focus && byId(view.focus);
    if (wanted && drawn && !typing(document.activeElement)) {
      // A new view begins at its head; a mark leaves everything where it is.
      wanted.focus({ preventScroll: wanted === old });
      if (view.focus === "head") wanted.scrollIntoView();
    }
  };

  // ---- what somebody does ----

  // The second tap of a hasty finger on one button is none, but where taps are meant to repeat.
  let tapped = null;
  place.addEventListener("click", ({ target, detail }) => {
    const button = target.closest("button");
    const twice = detail > 1 && button === tapped && !button?.dataset.again;
    tapped = button;
    if (button?.act && !twice) send(button.act);
  });
  place.addEventListener("input", ({ target }) => target.act && send({ ...target.act, text: target.value }));
  place.addEventListener("submit", (submitted) => {
    submitted.preventDefault();
    // Every field that has a name, also one whose letters were told as they were typed.
    send({ ...submitted.target.act, ...Object.fromEntries(new FormData(submitted.target)) });
  });

  if (!able) return;
  byId("without").hidden = true;
  place.textContent = place.dataset.loading;
  store.hear(() => send(null));
  document.addEventListener("visibilitychange", () => {
    hold();
    if (document.visibilityState === "visible") send(null);
  });
  const question = new URLSearchParams(location.search).get("question");
  send(question && place.dataset.store === "strings" ? { do: "only", question } : null);
})();
