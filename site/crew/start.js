// Fetches the engine of a page and starts it.
//
// From a web space it comes as WebAssembly, which the browser compiles while it arrives; this script
// stands in the head, so that this begins before the page itself is read. From a folder no page may
// fetch, so there the same engine comes as a script with its bytes as text; a page that is sent has
// that script in itself.
"use strict";
const engine = (() => {
  const own = document.currentScript;
  const named = own.dataset.engine;
  const packed = () => window.drillwrightEngine;

  const script = () =>
    packed() ??
    new Promise((resolve, reject) => {
      const element = document.createElement("script");
      element.src = `${named}.js`;
      element.onload = () => resolve(packed());
      element.onerror = reject;
      document.head.append(element);
    });

  const unpacked = async () => {
    const bytes = Uint8Array.from(atob(await script()), (letter) => letter.codePointAt(0));
    const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"));
    return WebAssembly.compile(await new Response(stream).arrayBuffer());
  };

  const fetched = async () => {
    const answer = await fetch(`${named}.wasm`);
    if (!answer.ok) throw new Error(answer.statusText);
    // A web space that does not know the kind of file says another, and streams are not for it.
    if (answer.headers.get("content-type") !== "application/wasm") return WebAssembly.compile(await answer.arrayBuffer());
    return WebAssembly.compileStreaming(answer);
  };

  const able = window.WebAssembly && window.DecompressionStream;
  const near = packed() || !location.protocol.startsWith("http");
  const compile = () => (near ? unpacked() : fetched().catch(unpacked));
  let compiled = null;
  // What failed is tried again when the engine is wanted again.
  const wanted = () =>
    (compiled ??= compile()).catch((fault) => {
      compiled = null;
      throw fault;
    });
  // Begun at once; whoever wants the engine is told of a fault then.
  if (able) wanted().catch(() => {});

  // A sentence of the engine that says why there is no answer.
  class Said extends Error {}

  const reader = new TextDecoder();
  const writer = new TextEncoder();

  // One request and its answer. Throws what the engine says, and whatever it throws when it
  // breaks down: then it is started again.
  const started = async () => {
    const { exports: inside } = await WebAssembly.instantiate(await wanted(), {});
    return (request) => {
      const sent = writer.encode(request);
      const at = inside.alloc(sent.length);
      new Uint8Array(inside.memory.buffer, at, sent.length).set(sent);
      const answer = inside.call(at, sent.length);
      const length = new DataView(inside.memory.buffer, answer, 4).getUint32(0, true);
      const text = reader.decode(new Uint8Array(inside.memory.buffer, answer + 4, length));
      inside.free(answer, length + 4);
      const { done, fault } = JSON.parse(text);
      if (fault !== undefined) throw new Said(fault);
      return done;
    };
  };

  return { able, started, Said, came: () => compiled !== null };
})();
