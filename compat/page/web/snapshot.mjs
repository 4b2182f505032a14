// While the page is built: start the program once and keep the memory of the interpreter.
// node snapshot.mjs FOLDER: reads boot.mjs, the interpreter and program.zip there, writes memory.bin.
import fs from "node:fs";
import path from "node:path";
import { pathToFileURL } from "node:url";

const folder = path.resolve(process.argv[2]);
const at = (name) => pathToFileURL(path.join(folder, name)).href;
const { start, unpack } = await import(at("boot.mjs"));
const { loadPyodide } = await import(at("pyodide.mjs"));
const { default: createModule } = await import(at("pyodide.asm.mjs"));
const python = await start({ loadPyodide, createModule, options: { indexURL: folder + "/" }, makeMemory: true });
unpack(python, new Uint8Array(fs.readFileSync(path.join(folder, "program.zip"))));
python.runPython("import compat.page.screens as screens; screens.warm(); __import__('gc').collect(); None");
fs.writeFileSync(path.join(folder, "memory.bin"), python.makeMemorySnapshot());
