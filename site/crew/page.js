// The script of a page with an engine: it draws what the engine says, hands in the clock and
// chance, and keeps strings. Every rule, sentence and number comes from the engine.
"use strict";
(() => {
  const byId = (id) => document.getElementById(id);
  const place = byId("engine");
  if (!place) return;
  const live = byId("says");
  const trouble = byId("trouble");
  const unkept = byId("unkept");
  const kit = byId("kit").content.textContent;
  const ask = place.dataset.ask;

  let call = null;
  let keys = [];
  let waiting = [];
  let busy = false;
  // What is stored, as far as this page knows: it carries on where storage is refused.
  const memory = new Map();
  let refused = false;

  // ---- the engine ----

  const start = async () => {
    call = await window.drillwrightStart();
    const opened = call('{"ask":"open","kit":' + kit + "}");
    keys = opened.keys ?? [];
  };

  // ---- strings that are kept ----

  const stored = () => {
    const found = {};
    for (const key of keys) {
      let text = memory.get(key) ?? null;
      try {
        if (!refused) text = localStorage.getItem(key);
      } catch {
        refuse();
      }
      if (text !== null) found[key] = text;
    }
    return found;
  };

  const store = (strings) => {
    for (const [key, text] of Object.entries(strings)) {
      if (text === null) memory.delete(key);
      else memory.set(key, text);
      try {
        if (text === null) localStorage.removeItem(key);
        else localStorage.setItem(key, text);
      } catch {
        refuse();
      }
    }
  };

  const refuse = () => {
    refused = true;
    unkept.hidden = false;
  };

  const save = ([name, text]) => {
    const link = document.createElement("a");
    link.download = name;
    link.href = URL.createObjectURL(new Blob([text], { type: "application/json" }));
    link.click();
    URL.revokeObjectURL(link.href);
  };

  // ---- events ----

  const chance = () => [...crypto.getRandomValues(new Uint8Array(16))];
  const clock = () => Date.now();

  const turn = (event) => {
    const heard = { ask, event, stored: stored(), chance: chance(), at: clock() };
    const { view, store: strings, file } = call(JSON.stringify(heard));
    store(strings ?? {});
    if (view) draw(view);
    if (file) save(file);
  };

  // Events are taken one after the other; an engine that breaks down is started again, and
  // the page goes on from what is stored.
  const send = async (event) => {
    waiting.push(event);
    if (busy) return;
    busy = true;
    while (waiting.length > 0) {
      const next = waiting.shift();
      try {
        if (!call) await start();
        turn(next);
        if (next.do !== "show") trouble.hidden = true;
      } catch (fault) {
        const plain = fault instanceof window.drillwrightStart.Said;
        trouble.textContent = plain ? fault.message : trouble.dataset.says;
        trouble.hidden = false;
        if (!plain) call = null;
        if (next.do !== "show") waiting.push({ do: "show" });
      }
    }
    busy = false;
  };

  // ---- drawing ----

  const make = (node) => {
    const element = document.createElement(node.tag);
    if (node.text) element.textContent = node.text;
    for (const [name, value] of Object.entries(node.with ?? {})) {
      if (name === "value") element.value = value;
      else element.setAttribute(name, value);
    }
    if (node.act) listen(element, node);
    element.append(...(node.kids ?? []).map(make));
    return element;
  };

  const listen = (element, { tag, act }) => {
    if (tag === "form") {
      element.addEventListener("submit", (submitted) => {
        submitted.preventDefault();
        const event = { ...act };
        for (const { name, value, dataset } of element.elements) {
          if (name && !dataset.own) event[name] = value;
        }
        send(event);
      });
    } else if (tag === "button") {
      element.addEventListener("click", () => send(act));
    } else {
      element.dataset.own = "yes";
      element.addEventListener("input", () => send({ ...act, text: element.value }));
    }
  };

  const draw = ({ nodes, says, focus }) => {
    place.replaceChildren(...nodes.map(make));
    live.textContent = says;
    const wanted = focus && byId(focus);
    if (wanted && drawn) wanted.focus();
    drawn = true;
  };
  let drawn = false;

  // Another page of the same recruit may have stored something meanwhile.
  window.addEventListener("storage", (change) => {
    if (keys.includes(change.key)) send({ do: "show" });
  });

  if (!window.drillwrightEngine || !window.DecompressionStream) return;
  byId("without").hidden = true;
  const wanted = new URLSearchParams(location.search).get("question");
  send(wanted ? { do: "only", question: wanted } : { do: "show" });
})();
