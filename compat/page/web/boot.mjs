// Starts the interpreter with the program in it, in a worker of the page and, while the page is built, in Node.
// `pieces` are the bytes of "memory", the interpreter's memory as it is once the program has started, and
// of "program.zip". Without memory the program starts from its files.
export const SITE = "/lib/python3.14/site-packages";

export async function start({ loadPyodide, createModule, options, memory, makeMemory }) {
  // Memory is put back into a heap that is at least as large.
  const createPyodideModule = async (settings) => {
    const module = await createModule(settings);
    while (memory && module.HEAP8.length < memory.length) module._malloc(1 << 20);
    return module;
  };
  return loadPyodide({
    ...options,
    createPyodideModule,
    ...(memory ? { _loadSnapshot: memory } : {}),
    ...(makeMemory ? { _makeSnapshot: true } : {}),
  });
}

export function unpack(python, archive) {
  python.FS.writeFile("/program.zip", archive);
  python.runPython(`
import zipfile
with zipfile.ZipFile("/program.zip") as archive:
    archive.extractall("${SITE}")
__import__("importlib").invalidate_caches()
__import__("os").remove("/program.zip")
`);
}
