// Runs the built page's own interpreter and program in Node: node in_node.mjs FOLDER JOBS ANSWERS.
// A job is {"check": name, "files": {name: base64}} or {"lookup": {...}}; an answer is the report as JSON.
import fs from "node:fs";
import path from "node:path";
import zlib from "node:zlib";
import { pathToFileURL } from "node:url";

const folder = path.resolve(process.argv[2]);
const at = (name) => pathToFileURL(path.join(folder, name)).href;
const { start, unpack } = await import(at("boot.mjs"));
const { loadPyodide } = await import(at("pyodide.mjs"));
const { default: createModule } = await import(at("pyodide.asm.mjs"));
const bytes = (name) => new Uint8Array(name.endsWith(".packed") ? zlib.gunzipSync(fs.readFileSync(name)) : fs.readFileSync(name));
fs.writeFileSync(path.join(folder, "pyodide.asm.wasm"), bytes(path.join(folder, "pyodide.asm.wasm.packed")));
const python = await start({
  loadPyodide,
  createModule,
  options: { indexURL: folder + "/" },
  memory: bytes(path.join(folder, "memory.bin.packed")),
});
unpack(python, bytes(path.join(folder, "program.zip")));
python.globals.set("jobs_text", fs.readFileSync(process.argv[3], "utf-8"));
const told = python.runPython(`
import base64, json, pathlib
from compat import api
folder = pathlib.Path("/jobs"); folder.mkdir()
answers = []
for number, job in enumerate(json.loads(jobs_text)):
    if "lookup" in job:
        answers.append(api.lookup(**job["lookup"]).to_json())
    else:
        place = folder / str(number); place.mkdir()
        for name, data in job["files"].items():
            (place / name).write_bytes(base64.b64decode(data))
        result = api.check(place / job["check"])
        answers.append(result.to_json())
        answers.append(result.to_html())
json.dumps(answers)
`);
fs.writeFileSync(process.argv[4], told);
