"""Files whose bytes differ though nothing that is read from them does, such as comments.

The hash of the dataset differs with them, and two editions of one version must have one hash.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from compat.dataset.read import PARTS
from compat.dataset.toml_files import read_toml
from compat.model.changes import Change, Kind

PACKAGE = "datasets/datapackage.json"
DEMO = "datasets/demo/"
SUFFIXES = (".toml", ".csv", ".json")


def file_changes(old: Path, new: Path) -> Iterator[Change]:
    """The files that differ, by name; the demo and the version itself are left out."""
    before, after = _files(old), _files(new)
    for name in sorted({*before, *after}):
        if name in before and name in after and _same(before[name], after[name], name):
            continue
        kind: Kind = "added" if name not in before else "removed" if name not in after else "changed"
        why = "its text differs, and nothing that is read from it"
        yield Change(part="file", id=name, kind=kind, step="patch", why=why)


def _files(root: Path) -> dict[str, Path]:
    paths = (path for part in PARTS for path in (root / part).rglob("*"))
    named = {path.relative_to(root).as_posix(): path for path in paths if path.suffix in SUFFIXES}
    return {name: path for name, path in named.items() if path.is_file() and not name.startswith(DEMO)}


def _same(old: Path, new: Path, name: str) -> bool:
    if name == PACKAGE:
        before, after = read_toml(old), read_toml(new)
        return {**before, "version": ""} == {**after, "version": ""}
    return old.read_bytes() == new.read_bytes()
