"""A reading done in a process of its own, with a bound on memory and time.

A library of another language ends its whole process when a damaged file makes it reserve more memory
than there is. In a child that is a sentence instead. What comes back is JSON: data and no code.
"""

from __future__ import annotations

import contextlib
import json
import os
import subprocess
import sys
from collections.abc import Callable
from importlib import import_module
from pathlib import Path
from typing import Any

from compat.intake.cells import NumberText
from compat.model.faults import BadInput, Fault
from compat.model.values import Origin

MEMORY_BYTES = 4_000_000_000
SECONDS = 60
# What may be read so: the module and its function from bytes to plain data.
READERS = {
    "parquet": ("compat.intake.keyed", "parquet_data"),
    "xls": ("compat.intake.old_workbook", "workbook_data"),
}


class Refused(Exception):
    """A file that the child read well enough to say what is wrong: what, allowed, do."""


def read_in_child(kind: str, data: bytes, file: str, damaged: Fault) -> Any:
    """What the reader of a kind makes of the bytes. Raises BadInput, ``damaged`` when the child fell."""
    if sys.platform == "emscripten":
        return _read_here(kind, data, file, damaged)
    root = str(Path(__file__).resolve().parents[2])
    paths = [root, *filter(None, [os.environ.get("PYTHONPATH")])]
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(paths), "POLARS_MAX_THREADS": "1"}
    command = [sys.executable, "-c", "from compat.intake.child import main; main()", kind]
    try:
        done = subprocess.run(command, input=data, capture_output=True, timeout=SECONDS, env=environment)
    except subprocess.TimeoutExpired as error:
        raise BadInput([damaged]) from error
    try:
        answer = json.loads(done.stdout) if done.returncode == 0 else None
    except ValueError:
        answer = None
    if not isinstance(answer, dict):
        raise BadInput([damaged])
    if "refused" in answer:
        what, allowed, do = answer["refused"]
        raise BadInput([Fault(what, Origin(file), allowed, do)])
    return answer["data"]


def _read_here(kind: str, data: bytes, file: str, damaged: Fault) -> Any:
    """In a browser there are no processes: the page's worker is the child, and the browser bounds it."""
    try:
        return _reader(kind)(data)
    except Refused as error:
        what, allowed, do = error.args
        raise BadInput([Fault(what, Origin(file), allowed, do)]) from error
    except ImportError as error:
        do = "Save it as a workbook or as CSV"
        raise BadInput(
            [Fault("this kind of file cannot be read in a browser", Origin(file), do=do)]
        ) from error
    except Exception as error:
        raise BadInput([damaged]) from error


def _reader(kind: str) -> Callable[[bytes], Any]:
    module, name = READERS[kind]
    found: Callable[[bytes], Any] = getattr(import_module(module), name)
    return found


def packed(text: str) -> str:
    """A text with a letter before it that says whether the file held a number."""
    return ("n" if isinstance(text, NumberText) else "t") + text


def unpacked(text: str) -> str:
    """The text of ``packed`` again."""
    return NumberText(text[1:]) if text[0] == "n" else text[1:]


def main() -> None:
    """The child: bytes on the input, JSON on the output; any fault of the reader ends it."""
    with contextlib.suppress(ImportError, ValueError, OSError):
        import resource  # not on every system

        resource.setrlimit(resource.RLIMIT_AS, (MEMORY_BYTES, MEMORY_BYTES))
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    read = _reader(sys.argv[1])
    try:
        answer = {"data": read(sys.stdin.buffer.read())}
    except Refused as error:
        answer = {"refused": list(error.args)}
    sys.stdout.write(json.dumps(answer))
    sys.stdout.flush()
    os._exit(0)
