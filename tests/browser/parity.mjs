// Asks the engine of the pages what the program was asked, and compares the bytes.
// node parity.mjs ENGINE REQUESTS.json, a list of pairs: request, answer. ENGINE.wasm is asked, and
// ENGINE.js must hold the same.

import { readFileSync } from "node:fs";
import { gunzipSync } from "node:zlib";

const [compiled, requests] = process.argv.slice(2);
const bytes = readFileSync(`${compiled}.wasm`);
const text = /drillwrightEngine = "([^"]+)"/.exec(readFileSync(`${compiled}.js`, "utf8"))[1];
if (!gunzipSync(Buffer.from(text, "base64")).equals(bytes)) throw new Error(`${compiled}.js is not ${compiled}.wasm`);
const module = new WebAssembly.Module(bytes);
if (WebAssembly.Module.imports(module).length > 0) throw new Error("the engine imports something");
const engine = new WebAssembly.Instance(module, {}).exports;

function call(request) {
  const sent = Buffer.from(request, "utf8");
  const at = engine.alloc(sent.length);
  new Uint8Array(engine.memory.buffer, at, sent.length).set(sent);
  const answer = engine.call(at, sent.length);
  const length = new DataView(engine.memory.buffer, answer, 4).getUint32(0, true);
  const bytes = Buffer.from(new Uint8Array(engine.memory.buffer, answer + 4, length));
  engine.free(answer, length + 4);
  return bytes;
}

const pairs = JSON.parse(readFileSync(requests, "utf8"));
let differ = 0;
const began = process.hrtime.bigint();
for (const [request, expected] of pairs) {
  const found = call(request);
  if (found.equals(Buffer.from(expected, "utf8"))) continue;
  differ += 1;
  if (differ <= 3) console.log(`${request.slice(0, 300)}\n  program: ${expected.slice(0, 400)}\n  engine:  ${found.toString().slice(0, 400)}`);
}
const took = Number((process.hrtime.bigint() - began) / 1_000_000n);
console.log(`${pairs.length - differ} answers are the same bytes, ${differ} differ; ${took} ms, ${engine.memory.buffer.byteLength >> 10} KB of memory`);
process.exit(differ === 0 ? 0 : 1);
