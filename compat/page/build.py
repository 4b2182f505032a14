"""The page written out: a folder for a web server, or one file that opens by itself."""

from __future__ import annotations

import gzip
import hashlib
import json
import shutil
import subprocess
import tarfile
import tempfile
from importlib.resources import files
from pathlib import Path

from compat import __version__
from compat.model.faults import BadInput, Fault
from compat.model.files import write_atomically
from compat.model.values import Origin
from compat.page.bundle import bundle
from compat.page.parts import fetched

INTERPRETER = ("pyodide.mjs", "pyodide.asm.mjs", "pyodide.asm.wasm", "python_stdlib.zip", "pyodide-lock.json")
# What a browser fetches packed and unpacks itself.
PACKED = ("pyodide.asm.wasm", "memory.bin")
OWN = (
    "boot.mjs", "check.js", "dom.js", "engine.js", "icon.svg", "keep.js", "look_up.js", "manifest.json",
    "page.js", "search.js", "service.js", "worker.js",
)  # fmt: skip
STYLES = ("report.css", "check.css", "lookup.css")
SECONDS = 600


def build_page(output: Path, cache: Path) -> dict[str, int]:
    """Write the page into a new or empty folder; the bytes of each file by its name. Raises BadInput."""
    if output.exists() and (not output.is_dir() or any(output.iterdir())):
        raise BadInput(
            [Fault("the folder is not empty", Origin(str(output)), do="Choose a new one for --output")]
        )
    found = _built(cache)
    output.mkdir(parents=True, exist_ok=True)
    for name, content in found.items():
        write_atomically(output / name, content)
    return {name: len(content) for name, content in found.items()}


def page_files(engine: str) -> dict[str, bytes]:
    """The files of the page that are our own; ``engine`` is where Python runs: ``worker`` or ``server``."""
    web = files("compat.page") / "web"
    found = {name: (web / name).read_bytes() for name in OWN}
    found["page.css"] = _styles()
    found["report.js"] = (files("compat.report") / "templates" / "report.js").read_bytes()
    found["index.html"] = _index(engine).encode()
    return found


def _styles() -> bytes:
    """The look of the reports, and after it what only the page has."""
    reports = files("compat.report") / "templates"
    sheets = [(reports / name).read_text(encoding="utf-8") for name in STYLES]
    own = (files("compat.page") / "web" / "page.css").read_text(encoding="utf-8")
    return "\n".join([*sheets, own]).encode()


def _index(engine: str) -> str:
    index = (files("compat.page") / "web" / "index.html").read_text(encoding="utf-8")
    return index.replace("{{ engine }}", engine).replace("{{ version }}", __version__)


def _built(cache: Path) -> dict[str, bytes]:
    """All files of the folder."""
    parts = fetched(cache)
    interpreter = parts.pop("pyodide")
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        _unpack(interpreter, folder)
        (folder / "program.zip").write_bytes(bundle(parts))
        web = files("compat.page") / "web"
        for own in ("boot.mjs", "snapshot.mjs"):
            (folder / own).write_bytes((web / own).read_bytes())
        _keep_memory(folder)
        found = page_files("worker")
        for part in (*INTERPRETER, "program.zip", "memory.bin"):
            content = (folder / part).read_bytes()
            if part in PACKED:
                found[f"{part}.packed"] = gzip.compress(content, 9, mtime=0)
            else:
                found[part] = content
    sums = {name: hashlib.sha256(content).hexdigest() for name, content in sorted(found.items())}
    edition = hashlib.sha256(json.dumps(sums).encode()).hexdigest()[:16]
    kept = json.dumps(sorted(name for name in found if name not in ("service.js", "pyodide-lock.json")))
    service = found["service.js"].decode().replace('"{{ edition }}"', f'"{edition}"')
    found["service.js"] = service.replace("[/* files */]", kept).encode()
    return found


def _unpack(archive: Path, folder: Path) -> None:
    with tarfile.open(archive) as tar:
        for name in INTERPRETER:
            member = tar.extractfile(f"package/{name}")
            if member is None:
                raise BadInput([Fault(f"it has no {name}", Origin(archive.name))])
            (folder / name).write_bytes(member.read())


def _keep_memory(folder: Path) -> None:
    """Start the program once in Node and keep the interpreter's memory. Raises BadInput."""
    node = shutil.which("node")
    if node is None:
        raise BadInput(
            [Fault("Node.js, which builds the page, is not installed", Origin("node"), do="Install it")]
        )
    command = [node, str(folder / "snapshot.mjs"), str(folder)]
    done = subprocess.run(command, capture_output=True, timeout=SECONDS)
    if done.returncode or not (folder / "memory.bin").is_file():
        told = [text for text in done.stderr.decode(errors="replace").splitlines() if "Error" in text[:300]]
        raise RuntimeError(f"the program does not start in the page: {' '.join(told)[:1500]}")
