"""The dataset cache: the dataset that comes with the program, parsed once and stored as plain lines of JSON.

The wheel brings it ready made; for a checkout, or where a file of the dataset differs, it lies in the
user's cache folder. It carries a key of every byte of rules, tables and of the code that makes it, and a
checksum. One that does not fit, or that another user could have written, is left aside and the files are
read. ``COMPAT_CACHE=off`` does without.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import stat
import tempfile
from collections.abc import Callable
from pathlib import Path

from compat import __version__
from compat.dataset.overlay import read_defaults
from compat.dataset.read import Dataset, hash_of, load_dataset
from compat.rulebook.relations import keep_relations, relations_of
from compat.rulebook.rules import read_rules
from compat.rulebook.stored_form import LoadedDataset, from_lines, to_lines
from compat.rulebook.usual import keep_usual, usual_of

SWITCH = "COMPAT_CACHE"
FOLDER = "lighting-control-compat"
PREBUILT = "dataset-cache.jsonl"
# The packages whose classes are stored and whose code makes them.
CODE = ("model", "dataset", "rulebook")
WRITABLE_BY_OTHERS = 0o022
# What a program that answers again and again holds on to, by folder.
_held: dict[Path, LoadedDataset] = {}
NO_LINK = getattr(os, "O_NOFOLLOW", 0)


def load(dataset: Dataset) -> LoadedDataset:
    """A dataset with all that is read beside it, from its files. Raises BadInput."""
    return LoadedDataset(
        dataset,
        read_rules(dataset.rules_folder, dataset.vocabulary),
        read_defaults(dataset),
        relations_of(dataset),
        usual_of(dataset),
    )


def hold(root: Path) -> None:
    """Read a folder's dataset once for all that follows in this process. Raises BadInput."""
    _held[root] = load_cached(root)


def load_cached(root: Path) -> LoadedDataset:
    """As :func:`load` for a folder, from a cache where one holds the same. Raises BadInput."""
    if root in _held:
        return _held[root]
    if os.environ.get(SWITCH, "").strip().casefold() == "off":
        return load(load_dataset(root))
    key = key_of(root)
    # What lies inside the program is trusted as its code is.
    found = _stored(_read(root / PREBUILT), key, root)
    file = None if found else cache_file(root)
    if (
        found is None
        and file is not None
        and _is_own(file.parent, stat.S_ISDIR)
        and _is_own(file, stat.S_ISREG)
    ):
        found = _stored(_read(file), key, root)
    if found is not None:
        keep_relations(found.dataset, found.relations)
        keep_usual(found.dataset, found.usual)
        return found
    loaded = load(load_dataset(root))
    # What changed while it was read must not be stored under the key of before.
    if file is not None and key_of(root) == key:
        _write(file, stored_bytes(loaded, key))
    return loaded


def key_of(root: Path) -> str:
    """What the parsed dataset depends on, as 64 hexadecimal digits: its bytes and those of the code."""
    digest = hashlib.sha256(f"{__version__}\0{hash_of(root)}\0".encode())
    package = Path(__file__).resolve().parent.parent
    for part in CODE:
        for entry in sorted(os.scandir(package / part), key=lambda entry: entry.name):
            if entry.name.endswith(".py"):
                with open(entry.path, "rb", buffering=0) as file:  # noqa: PTH123 (three times quicker than Path)
                    content = file.read()
                digest.update(f"{part}/{entry.name}\0{len(content)}\0".encode())
                digest.update(content)
    return digest.hexdigest()


def cache_file(root: Path) -> Path | None:
    """Where the cache of a folder lies for this user; None when there is no place for it."""
    stated = os.environ.get("XDG_CACHE_HOME") or os.environ.get("LOCALAPPDATA")
    try:
        folder = Path(stated) if stated else Path.home() / ".cache"
    except RuntimeError:  # no home
        return None
    name = hashlib.sha256(os.fsencode(root)).hexdigest()[:16]
    return folder / FOLDER / f"{name}.jsonl" if folder.is_absolute() else None


def stored_bytes(loaded: LoadedDataset, key: str) -> bytes | None:
    """The content of a cache; None where the lines would not give back the same dataset."""
    try:
        content = "\n".join(to_lines(loaded)).encode()
        same = from_lines(content.split(b"\n"), loaded.dataset.root) == loaded
    except (TypeError, ValueError):  # such as a date or a half of a character, which JSON does not have
        return None
    head = f"{key} {hashlib.sha256(content).hexdigest()}\n".encode()
    return head + content if same else None


def _stored(data: bytes | None, key: str, root: Path) -> LoadedDataset | None:
    """The dataset in the content of a cache; None when it is of another key, damaged or of another form."""
    head, _, content = (data or b"").partition(b"\n")
    if head != f"{key} {hashlib.sha256(content).hexdigest()}".encode():
        return None
    try:
        return from_lines(content.split(b"\n"), root)
    except (KeyError, IndexError, ValueError, TypeError, AttributeError, StopIteration):
        return None


def _read(file: Path) -> bytes | None:
    """The bytes of an ordinary file, never by way of a link."""
    try:
        with os.fdopen(os.open(file, os.O_RDONLY | NO_LINK | getattr(os, "O_NONBLOCK", 0)), "rb") as stream:
            return stream.read() if stat.S_ISREG(os.fstat(stream.fileno()).st_mode) else None
    except OSError:
        return None


def _is_own(path: Path, is_kind: Callable[[int], bool]) -> bool:
    """Whether what lies at a path is of a kind, no link, this user's, and only this user can write it."""
    try:
        state = path.lstat()
    except OSError:
        return False
    if not is_kind(state.st_mode):
        return False
    return not hasattr(os, "getuid") or (
        state.st_uid == os.getuid() and not state.st_mode & WRITABLE_BY_OTHERS
    )


def _write(file: Path, data: bytes | None) -> None:
    """Put a cache in its place, in a folder that is this user's own; a failure is no fault of the run."""
    if data is None:
        return
    with contextlib.suppress(OSError):
        file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        if not _is_own(file.parent, stat.S_ISDIR):
            return
        handle, temporary = tempfile.mkstemp(dir=file.parent)
        try:
            with os.fdopen(handle, "wb") as stream:
                stream.write(data)
            os.replace(temporary, file)  # noqa: PTH105 (a link of that name is replaced, not followed)
        except BaseException:
            os.unlink(temporary)  # noqa: PTH108
            raise
