// Starts the interpreter with the program in it, in a worker of the page and, while the page is built, in Node.
// `memory` holds the bytes of the interpreter's memory as it is once the program has started.
export const SITE = "/lib/python3.14/site-packages";

export async function start({ loadPyodide, createModule, options, memory, makeMemory }) {
  // Memory is put back into a heap that is at least as large.
  const createPyodideModule = async (settings) => {
    const module = await createModule(settings);
    while (memory && module.HEAP8.length < memory.length) module._malloc(1 << 20);
    return module;
  };
  const python = await loadPyodide({
    ...options,
    createPyodideModule,
    ...(memory ? { _loadSnapshot: memory } : {}),
    ...(makeMemory ? { _makeSnapshot: true } : {}),
  });
  // Memory does not hold files; that the dataset has a folder is asked before its files are there.
  python.FS.mkdirTree(`${SITE}/compat/data`);
  return python;
}

export function unpack(python, archive) {
  python.FS.writeFile("/program.zip", archive);
  // Libraries are read out of the archive; the program needs its files, and compiled code has to be one.
  python.runPython(`
import sys, zipfile
with zipfile.ZipFile("/program.zip") as archive:
    archive.extractall("${SITE}", [name for name in archive.namelist() if name.startswith(("compat/", "pydantic_core/"))])
if "/program.zip" not in sys.path:
    sys.path.append("/program.zip")
__import__("importlib").invalidate_caches()
`);
}
