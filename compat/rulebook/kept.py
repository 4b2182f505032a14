"""The dataset that comes with the program, kept parsed between runs in the user's cache folder.

As Python keeps its compiled modules: what is kept carries a key of every byte of rules and tables,
of this program's source files and of the Python that runs it, and is made anew when the key differs.
A cache that cannot be read, written or trusted is left aside, and no more than this package's own data
classes can come out of it. ``COMPAT_CACHE=off`` does without.
"""

from __future__ import annotations

import contextlib
import hashlib
import io
import os
import pickle
import sys
from dataclasses import dataclass
from pathlib import Path

from compat import __version__
from compat.dataset.overlay import Stated, read_standing
from compat.dataset.read import Dataset, hash_of, load_dataset
from compat.model.faults import BadInput
from compat.model.files import write_atomically
from compat.rulebook.relations import ParsedRelation, keep_relations, relations_of
from compat.rulebook.rules import ParsedRule, read_rules

SWITCH = "COMPAT_CACHE"
FOLDER = "lighting-control-compat"
# The packages whose classes are kept and whose code makes them.
CODE = ("model", "physics", "dataset", "rulebook")
KEY_BYTES = 32
PATHS = {("pathlib", "PosixPath"), ("pathlib", "WindowsPath")}
PATHS |= {("pathlib._local", name) for _, name in PATHS}  # their module from Python 3.13 on
WRITABLE_BY_OTHERS = 0o022


@dataclass(frozen=True, slots=True)
class Opened:
    """A dataset, its rules in force in telling order, and what holds without a project file."""

    dataset: Dataset
    rules: list[ParsedRule]
    standing: Stated
    relations: tuple[ParsedRelation, ...]


def opened(dataset: Dataset) -> Opened:
    """A dataset with its rules and defaults, read from its files. Raises BadInput."""
    rules = read_rules(dataset.rules_folder, dataset.vocabulary)
    return Opened(dataset, rules, read_standing(dataset), relations_of(dataset))


def opened_kept(root: Path) -> Opened:
    """As :func:`opened` for a folder, from the cache where that holds the same. Raises BadInput."""
    file = cache_file(root)
    if file is None:
        return opened(load_dataset(root))
    key = key_of_root(root)
    kept = _read(file, key)
    if kept is None:
        kept = opened(load_dataset(root))
        # What changed while it was read must not be kept under the key of before.
        if key_of_root(root) == key:
            _keep(file, key, kept)
    keep_relations(kept.dataset, kept.relations)
    return kept


def key_of_root(root: Path) -> bytes:
    """What the parsed dataset depends on, as 32 bytes."""
    digest = hashlib.sha256(f"{__version__}\0{sys.version}\0{root}\0{hash_of(root)}\0".encode())
    package = Path(__file__).resolve().parent.parent
    for part in CODE:
        for entry in sorted(os.scandir(package / part), key=lambda entry: entry.name):
            if entry.name.endswith(".py"):
                state = entry.stat()
                digest.update(f"{entry.name}\0{state.st_size}\0{state.st_mtime_ns}\0".encode())
    return digest.digest()


def cache_file(root: Path) -> Path | None:
    """Where the dataset of a folder is kept; None when no cache is wanted or there is no place."""
    if os.environ.get(SWITCH, "").strip().casefold() == "off":
        return None
    stated = os.environ.get("XDG_CACHE_HOME") or os.environ.get("LOCALAPPDATA")
    try:
        folder = Path(stated) if stated else Path.home() / ".cache"
    except RuntimeError:  # no home
        return None
    name = hashlib.sha256(os.fsencode(root)).hexdigest()[:16]
    return folder / FOLDER / f"{name}.kept" if folder.is_absolute() else None


class _Unpacker(pickle.Unpickler):
    """Makes objects of this package's own data classes and paths, and of nothing else."""

    def find_class(self, module: str, name: str) -> type:
        """The class of a name. Raises pickle.UnpicklingError for one that may not be made."""
        own = module.startswith(tuple(f"compat.{part}." for part in CODE)) and "." not in name
        if own or (module, name) in PATHS:
            found = super().find_class(module, name)
            if isinstance(found, type) and (found.__module__ == module or not own):
                return found
        raise pickle.UnpicklingError(f"{module}.{name} is not kept")


def _read(file: Path, key: bytes) -> Opened | None:
    """What is kept under a key; None when it is another, damaged, or might be another user's."""
    try:
        with file.open("rb") as stream:
            state = os.fstat(stream.fileno())
            if hasattr(os, "getuid") and (state.st_uid != os.getuid() or state.st_mode & WRITABLE_BY_OTHERS):
                return None
            if stream.read(KEY_BYTES) != key:
                return None
            content = stream.read()
        if hashlib.sha256(content[KEY_BYTES:]).digest() != content[:KEY_BYTES]:
            return None
        kept = _Unpacker(io.BytesIO(memoryview(content)[KEY_BYTES:])).load()
    except (OSError, pickle.PickleError, EOFError, AttributeError, ImportError, ValueError, TypeError):
        return None
    return kept if isinstance(kept, Opened) else None


def _keep(file: Path, key: bytes, content: Opened) -> None:
    data = pickle.dumps(content, protocol=pickle.HIGHEST_PROTOCOL)
    with contextlib.suppress(OSError, BadInput):
        file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        write_atomically(file, key + hashlib.sha256(data).digest() + data)
        file.chmod(0o600)
