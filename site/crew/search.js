// Finds passages of the crew's pages by the words that a reader types. A passage is found when each
// word of the question begins a word of its title or its text. Nothing of it leaves the browser.
"use strict";
(() => {
  const form = document.querySelector("form.find");
  const field = form.querySelector("input");
  const list = document.getElementById("found");
  const count = document.getElementById("count");
  const { kinds, none, found, more } = form.dataset;
  const kindNames = kinds.split("|");
  // More are read by nobody on a phone; a further word finds fewer.
  const most = 40;

  const plain = (text) => text.toLowerCase().normalize("NFD").replace(/[\u0300-\u036f]/g, "");
  const wordsOf = (text) => plain(text).match(/[\p{L}\p{N}]+/gu) ?? [];
  const passages = globalThis.passages.map(([kind, title, page, text]) => {
    const inTitle = wordsOf(title);
    return { kind, title, page, text, inTitle, all: [...inTitle, ...wordsOf(text)] };
  });

  /** The text with what begins with a word of the question in marks. */
  function marked(text, asked) {
    const out = document.createDocumentFragment();
    for (const part of text.split(/([\p{L}\p{N}]+)/u)) {
      const hit = part && asked.some((word) => plain(part).startsWith(word));
      if (!hit) {
        out.append(part);
        continue;
      }
      const mark = document.createElement("mark");
      mark.textContent = part;
      out.append(mark);
    }
    return out;
  }

  function row(passage, asked) {
    const item = document.createElement("li");
    const kind = document.createElement("span");
    kind.className = "n";
    kind.textContent = kindNames[passage.kind];
    const body = document.createElement("div");
    const link = document.createElement("a");
    link.href = passage.page;
    link.append(marked(passage.title, asked));
    const text = document.createElement("p");
    text.className = "soft";
    text.append(marked(passage.text, asked));
    body.append(link, text);
    item.append(kind, body);
    return item;
  }

  function show() {
    const asked = wordsOf(field.value);
    const hits = asked.length
      ? passages.filter(({ all }) => asked.every((word) => all.some((one) => one.startsWith(word))))
      : [];
    // By kind as the list has them; in a kind those first whose title has every word.
    const titled = ({ inTitle }) => asked.every((word) => inTitle.some((one) => one.startsWith(word)));
    hits.sort((a, b) => a.kind - b.kind || titled(b) - titled(a));
    list.replaceChildren(...hits.slice(0, most).map((hit) => row(hit, asked)));
    if (!asked.length) count.textContent = "";
    else if (!hits.length) count.textContent = none;
    else count.textContent = (hits.length > most ? more : found).replace("{count}", hits.length).replace("{shown}", most);
  }

  form.hidden = false;
  field.value = new URLSearchParams(location.search).get("q") ?? "";
  field.addEventListener("input", show);
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    show();
  });
  show();
})();
