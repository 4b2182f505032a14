"""Which dataset a word on the command line means: a folder, or the version of a release."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator
from pathlib import Path

from compat import __version__
from compat.dataset.read import PARTS, VERSION, data_root
from compat.dataset.toml_files import read_toml
from compat.model.equipment import SUBJECT_OF
from compat.model.faults import BadInput, Fault
from compat.model.files import open_ordinary
from compat.model.values import Origin

NAME = "lighting-control-compatibility"
FOLDERS_VARIABLE = "COMPAT_DATASETS"
# The edition of each kind of file that this program reads.
OTHER_KINDS = ("rule", "cases", "sources", "project", "exceptions")
EDITIONS = dict.fromkeys((*SUBJECT_OF, *OTHER_KINDS), 1)
SCHEMA_WORD = re.compile(rb"^\s*schema\s*=\s*[\"']([a-z_]{1,40})/([0-9]{1,6})[\"']", re.MULTILINE)
# The word stands at the head of a file; comments may come before it.
HEAD_BYTES = 8_192
DATABASES = (".duckdb", ".db", ".parquet")


def dataset_folder(wanted: Path) -> Path:
    """The folder of ``--dataset``: a path as it stands, or a version among the releases at hand.

    Releases are sought in the folders that the environment variable COMPAT_DATASETS names, then in
    what came with the program. Raises BadInput when there is none, when it is a file, or when it is
    written by an edition of the schemas that this program does not read.
    """
    folder = wanted if wanted.is_dir() else _named(wanted)
    _refuse_other_editions(folder)
    return folder


def version_in(folder: Path) -> str | None:
    """The version of the dataset in a folder, None when it does not say."""
    try:
        found = read_toml(folder / "datasets" / "datapackage.json").get("version")
    except BadInput:
        return None
    return found if isinstance(found, str) else None


def program_of(folder: Path) -> str | None:
    """The version of the program that made a release, None for a folder that is none."""
    path = folder / "datapackage.json"
    try:
        made = read_toml(path).get("compat") if path.is_file() else None
    except BadInput:
        return None
    program = made.get("program") if isinstance(made, dict) else None
    return program if isinstance(program, str) and VERSION.fullmatch(program) else None


def _named(wanted: Path) -> Path:
    where = Origin(str(wanted))
    if wanted.exists():
        if wanted.suffix.lower() in DATABASES:
            what = "this is one file of a release, and a check needs the rules beside it"
            raise BadInput([Fault(what, where, do="Name the folder of the release that holds the file")])
        allowed = "A folder with rules/, schemas/ and datasets/ is expected"
        raise BadInput([Fault("this is a file, no rules dataset", where, allowed)])
    version = str(wanted)
    if not VERSION.fullmatch(version):
        allowed = "A folder with rules/, schemas/ and datasets/, or a version such as 1.2.0, is expected"
        raise BadInput([Fault("there is no such folder", where, allowed)])
    known = dict(_releases())
    if version not in known:
        there = f"At hand: {', '.join(sorted(known))}" if known else "There are no releases at hand"
        do = f"Name the folder, or put the folder that holds your releases into {FOLDERS_VARIABLE}"
        raise BadInput([Fault(f"no release of version {version} is at hand", where, there, do)])
    return known[version]


def _releases() -> Iterator[tuple[str, Path]]:
    """Version and folder of the releases at hand; of one version the last is taken."""
    yield from _with_version(data_root())
    for place in reversed(os.environ.get(FOLDERS_VARIABLE, "").split(os.pathsep)):
        if place and Path(place).is_dir():
            for folder in sorted(Path(place).iterdir()):
                if all((folder / part).is_dir() for part in PARTS):
                    yield from _with_version(folder)


def _with_version(folder: Path) -> Iterator[tuple[str, Path]]:
    version = version_in(folder)
    if version is not None:
        yield version, folder


def _refuse_other_editions(folder: Path) -> None:
    """Raises BadInput with one fault for each kind of file of an edition that is not read here."""
    files = [*(folder / "rules").glob("**/*.toml"), *(folder / "datasets").glob("**/*.toml")]
    other: dict[tuple[str, int], list[str]] = {}
    for path in sorted(files):
        found = SCHEMA_WORD.search(_head(path))
        if found is None:
            continue
        kind, edition = found[1].decode(), int(found[2])
        if kind in EDITIONS and edition != EDITIONS[kind]:
            other.setdefault((kind, edition), []).append(path.relative_to(folder).as_posix())
    if other:
        raise BadInput([_other_edition(folder, *key, names) for key, names in other.items()])


def _other_edition(folder: Path, kind: str, edition: int, names: list[str]) -> Fault:
    read = EDITIONS[kind]
    version = version_in(folder)
    release = f" of the dataset {version}" if version else ""
    what = f"{len(names)} {'file' if len(names) == 1 else 'files'}{release} are written by {kind}/{edition}"
    if len(names) == 1:
        what = f"this file{release} is written by {kind}/{edition}"
    allowed = f"This program, compat {__version__}, reads {kind}/{read}"
    do = f"Use {'a newer' if edition > read else 'an older'} compat, one that reads {kind}/{edition}"
    return Fault(what, Origin(names[0]), allowed, do)


def _head(path: Path) -> bytes:
    try:
        with open_ordinary(path) as file:
            return file.read(HEAD_BYTES)
    except OSError:
        return b""
