// Starts the compiled engine for a page's script, and asks it.
"use strict";
window.drillwrightStart = (() => {
  const reader = new TextDecoder();
  const writer = new TextEncoder();
  let compiled = null;

  const unpacked = (text) => {
    const packed = Uint8Array.from(atob(text), (letter) => letter.codePointAt(0));
    const stream = new Blob([packed]).stream().pipeThrough(new DecompressionStream("gzip"));
    return new Response(stream).arrayBuffer();
  };

  // A sentence of the engine that says why there is no answer.
  class Said extends Error {}

  // One request and its answer. Throws what the engine says, and whatever it throws when it
  // breaks down: then it is started again.
  const asking = (engine) => (request) => {
    const sent = writer.encode(request);
    const at = engine.alloc(sent.length);
    new Uint8Array(engine.memory.buffer, at, sent.length).set(sent);
    const answer = engine.call(at, sent.length);
    const length = new DataView(engine.memory.buffer, answer, 4).getUint32(0, true);
    const text = reader.decode(new Uint8Array(engine.memory.buffer, answer + 4, length));
    engine.free(answer, length + 4);
    const { done, fault } = JSON.parse(text);
    if (fault !== undefined) throw new Said(fault);
    return done;
  };

  const start = async () => {
    compiled ??= await WebAssembly.compile(await unpacked(window.drillwrightEngine));
    return asking((await WebAssembly.instantiate(compiled, {})).exports);
  };
  return Object.assign(start, { Said });
})();
