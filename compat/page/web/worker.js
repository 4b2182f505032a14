// Python in a worker: it answers what the screens ask, and the page never freezes.
import { start, unpack } from "./boot.mjs";
import { loadPyodide } from "./pyodide.mjs";
import createModule from "./pyodide.asm.mjs";

const here = new URL(".", import.meta.url).href;
const plain = self.fetch.bind(self);
async function got(name) {
  const answer = await plain(here + name);
  if (!answer.ok) throw new Error(`${name} could not be read (${answer.status})`);
  return answer;
}
async function unpacked(name, type) {
  const stream = (await got(`${name}.packed`)).body.pipeThrough(new DecompressionStream("gzip"));
  return new Response(stream, { headers: { "content-type": type } });
}
// The interpreter asks for its plain name what lies here packed.
self.fetch = (what, options) =>
  String(what?.url ?? what).endsWith("/pyodide.asm.wasm") ? unpacked("pyodide.asm.wasm", "application/wasm") : plain(what, options);

const waiting = [];
let answered = null;
let archive = null;
let idle = 0;
let isWorking = false;
self.onmessage = ({ data }) => { waiting.push(data); work(); };

async function work() {
  if (isWorking) return;
  isWorking = true;
  while (answered && waiting.length) {
    const { id, put, action, asked } = waiting.shift();
    // A look-up needs only what is in memory; the files are there before anything else is asked.
    if (archive && action !== "lookup" && action !== "start") await laid();
    const tell = (text) => self.postMessage({ id, tell: text });
    try {
      self.postMessage({ id, answer: put ? { path: answered.put(put.place, put.name, put.bytes) } : JSON.parse(answered.ask(action, JSON.stringify(asked), tell)) });
    } catch (error) {
      const why = String(error.message).trim().split("\n").pop();
      self.postMessage({ id, answer: { faults: [`The program has a fault of its own and gives no answer: ${why}`] } });
    }
  }
  isWorking = false;
  // They are laid out while the person reads and types.
  clearTimeout(idle);
  if (answered && archive) idle = setTimeout(laid, 2000);
}
async function laid() {
  if (!archive) return;
  const bytes = archive;
  archive = null;
  unpack(answered.python, new Uint8Array(await bytes));
}

try {
  const memory = unpacked("memory.bin", "application/octet-stream").then((one) => one.arrayBuffer());
  archive = got("program.zip").then((one) => one.arrayBuffer());
  const python = await start({ loadPyodide, createModule, options: { indexURL: here }, memory: new Uint8Array(await memory) });
  const ask = python.runPython(`
import json, pathlib
from compat.page.screens import Screens
folder = pathlib.Path("/given"); folder.mkdir(exist_ok=True)
screens = Screens(folder)
def ask(action, asked, tell):
    screens.tell = tell
    return json.dumps(screens.answer(action, json.loads(asked)))
ask`);
  const put = python.runPython("lambda place, name, data: screens.put(place, name, data.to_bytes())");
  answered = { python, ask, put };
  self.postMessage({ state: "ready" });
  work();
} catch (error) { self.postMessage({ state: "failed", problem: String(error.message).trim().split("\n").pop() }); }
