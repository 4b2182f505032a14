"""What a person at a terminal sees while a command works: how long it takes, and a check made anew."""

from __future__ import annotations

import sys
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from compat.model.faults import BadInput

QUIET_S = 2.0
LOOK_EVERY_S = 0.5
ERASE_LINE = "\r\x1b[K"


@contextmanager
def progress(what: str) -> Iterator[None]:
    """From the third second on, say on a terminal what is being done and for how long; then clear it."""
    if not sys.stderr.isatty():
        yield
        return
    done = threading.Event()
    teller = threading.Thread(target=_tell, args=(what, done), daemon=True)
    teller.start()
    try:
        yield
    finally:
        done.set()
        teller.join()


def _tell(what: str, done: threading.Event) -> None:
    began = time.monotonic()
    wait, told = QUIET_S, False
    while not done.wait(wait):
        sys.stderr.write(f"{ERASE_LINE}{what} ({time.monotonic() - began:.0f} s)")
        sys.stderr.flush()
        wait, told = 1.0, True
    if told:
        sys.stderr.write(ERASE_LINE)
        sys.stderr.flush()


def watch(made: Callable[[], object], read: Callable[[], Sequence[Path]]) -> None:
    """Make the answer, and again whenever a file that is read has changed, until stopped by Ctrl-C.

    ``read`` names the files anew each time, since one may appear later. What is wrong with an input is
    said and waited out: a file is often unreadable for a moment while it is being saved.
    """
    while True:
        before = _state(read())
        try:
            made()
        except BadInput as error:
            sys.stderr.writelines(f"{fault.sentence()}\n" for fault in error.faults)
        sys.stderr.write("Waiting for a change; Ctrl-C ends.\n")
        sys.stderr.flush()
        while _state(read()) == before:
            time.sleep(LOOK_EVERY_S)


def _state(paths: Sequence[Path]) -> list[tuple[str, int, int]]:
    """Name, time of change and size of every file; those that are not there count as empty."""
    found = []
    for path in paths:
        try:
            status = path.stat()
        except OSError:
            found.append((str(path), 0, -1))
        else:
            found.append((str(path), status.st_mtime_ns, status.st_size))
    return found
