"""Files: written so that a reader sees the old content or the new, never a part; read only where they are
ordinary files; and told apart by what they are, not by their names.
"""

from __future__ import annotations

import contextlib
import errno
import os
import stat
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import BinaryIO

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
    # Named before it is made, so that a signal at any moment leaves none behind.
    temporary = target.parent / f".{target.name[:40]}.{os.urandom(6).hex()}"
    try:
        with temporary.open("xb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        temporary.chmod(_mode(target))
        temporary.replace(target)
    except BaseException as error:
        with contextlib.suppress(OSError):
            temporary.unlink()
        if not isinstance(error, OSError):
            raise
        what = f"the file cannot be written: {error.strerror or error}"
        raise BadInput([Fault(what, where, do="Choose another place or free it")]) from error


def _mode(target: Path) -> int:
    """The permissions of the file that is replaced, or those that a new file would get."""
    if target.exists():
        return target.stat().st_mode & 0o777
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask


def open_ordinary(path: Path | str) -> BinaryIO:
    """A file opened to be read. A pipe, which may never say anything, a device or a socket is an OSError."""
    handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
    mode = os.fstat(handle).st_mode
    if stat.S_ISREG(mode):
        return os.fdopen(handle, "rb")
    os.close(handle)
    if stat.S_ISDIR(mode):
        raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR), str(path))
    raise OSError(errno.EINVAL, "this is a pipe or a device, not an ordinary file", str(path))


def is_one_of(path: Path, others: Iterable[Path]) -> bool:
    """Whether a file is the same as another, or as one in a folder of theirs, whatever their names."""
    try:
        identity = _identity(path)
    except OSError:
        return False
    return any(identity == other for entry in others for other in _identities(entry))


def _identities(path: Path) -> Iterator[tuple[int, int]]:
    """A file, or all files below a folder."""
    names = (
        [path]
        if not path.is_dir()
        else [Path(base, name) for base, _, names in os.walk(path) for name in names]
    )
    for name in names:
        with contextlib.suppress(OSError):
            yield _identity(name)


def _identity(path: Path) -> tuple[int, int]:
    state = path.stat()
    return state.st_dev, state.st_ino
