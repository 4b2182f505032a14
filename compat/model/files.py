"""Writing files so that a reader sees the old content or the new, never a part."""

from __future__ import annotations

import contextlib
import os
import tempfile
from pathlib import Path

from compat.model.faults import BadInput, Fault
from compat.model.values import Origin


def write_atomically(path: Path, data: bytes) -> None:
    """Write a file by way of a temporary file beside it that then takes its name.

    A link is followed and its target replaced; permissions of an existing file are kept. Raises
    BadInput, with nothing written, when the folder is missing, the path is a folder or a device,
    or the place cannot be written to.
    """
    target = Path(os.path.realpath(path))
    where = Origin(path.name or str(path))
    if target.exists() and not target.is_file():
        what = "this is a folder" if target.is_dir() else "this is not an ordinary file"
        raise BadInput([Fault(f"{what} and cannot be written", where, do="Give a file name")])
    if not target.parent.is_dir():
        raise BadInput([Fault("the folder for this file does not exist", where, do="Make it first")])
    temporary: str | None = None
    try:
        handle, temporary = tempfile.mkstemp(prefix=f".{target.name[:40]}.", dir=target.parent)
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        Path(temporary).chmod(_mode(target))
        Path(temporary).replace(target)
    except OSError as error:
        if temporary is not None:
            with contextlib.suppress(OSError):
                Path(temporary).unlink()
        reason = error.strerror or str(error)
        what = f"the file cannot be written: {reason}"
        raise BadInput([Fault(what, where, do="Choose another place or free it")]) from error


def _mode(target: Path) -> int:
    """The permissions of the file that is replaced, or those that a new file would get."""
    if target.exists():
        return target.stat().st_mode & 0o777
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask
