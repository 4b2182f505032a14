"""The dataset as a whole: where it lies, its tables, references, version and hash."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path
from typing import Any, TypeVar

from compat.dataset.consequences import with_consequences
from compat.dataset.toml_files import line_of, read_text, read_toml, validated
from compat.dataset.values import ValueFault, trait_of
from compat.dataset.vocabulary import checked_vocabulary
from compat.model.equipment import SUBJECT_OF, Entry
from compat.model.faults import BadInput, Fault, did_you_mean
from compat.model.source import Source
from compat.model.values import Origin, Trait
from compat.model.vocabulary import Vocabulary

TABLES = tuple(SUBJECT_OF)
PARTS = ("rules", "schemas", "datasets")
HASHED = (".toml", ".csv", ".json")
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Equipment:
    """One entry of a table with its traits in the words of the model."""

    id: str
    name: str
    traits: Mapping[str, Trait]
    invented: bool = False
    note: str = ""


@dataclass(frozen=True, slots=True)
class Dataset:
    """Everything the program knows: tables by name, then entries by id, in file order."""

    root: Path
    vocabulary: Vocabulary
    tables: dict[str, dict[str, Equipment]]
    sources: dict[str, Source]
    version: str
    sha256: str = field(repr=False, default="")

    @property
    def rules_folder(self) -> Path:
        """The folder of the rule files."""
        return self.root / "rules"


def data_root() -> Path:
    """The folder that holds rules/, schemas/ and datasets/: inside the wheel, or the checkout."""
    package = Path(__file__).resolve().parent.parent
    inside = package / "data"
    return inside if inside.is_dir() else package.parent


def load_dataset(root: Path | None = None) -> Dataset:
    """The dataset in a folder, by default the one that came with the program. Raises BadInput."""
    root = root or data_root()
    folder = root / "datasets"
    if not all((root / part).is_dir() for part in PARTS):
        allowed = "A folder with rules/, schemas/ and datasets/ is expected"
        raise BadInput([Fault("this is no rules dataset", Origin(str(root)), allowed)])
    vocabulary = checked_vocabulary(folder / "vocabulary")
    faults: list[Fault] = []
    tables: dict[str, dict[str, Equipment]] = {}
    for table in TABLES:
        entries: dict[str, Equipment] = {}
        for path in sorted((folder / table.replace("_", "-")).glob("*.toml")):
            entries.update(_attempt(partial(read_table, path, table, vocabulary), faults))
        tables[table] = entries
    sources = _attempt(partial(read_sources, folder / "sources"), faults)
    if faults:
        raise BadInput(faults)
    version = read_toml(folder / "datapackage.json").get("version")
    if not isinstance(version, str):
        raise BadInput([Fault("the version is missing", Origin("datapackage.json"), do='Add "version"')])
    return Dataset(root, vocabulary, tables, sources, version, hash_of(root))


def read_table(path: Path, table: str, vocabulary: Vocabulary) -> dict[str, Equipment]:
    """The entries of one table file, of the dataset or the user's own, by id.

    Raises BadInput with a fault, its line and what is allowed, for every value that does not fit.
    """
    data, text = read_toml(path), read_text(path)
    subject = SUBJECT_OF[table]
    entries: dict[str, Equipment] = {}
    faults: list[Fault] = []
    _check_shape(data, table, subject, path, text)
    for place, raw in enumerate(data[subject]):
        try:
            entry = validated(Entry, raw, path, subject, place)
        except BadInput as error:
            faults.extend(error.faults)
            continue
        if not entry.name.isprintable():
            where = Origin(path.name, line=line_of(text, subject, place, "id"))
            faults.append(Fault(f"{entry.id}: the name holds a character that cannot be shown", where))
        if entry.id in entries:
            faults.append(
                Fault(
                    f"the id {entry.id} is given twice",
                    Origin(path.name, line=line_of(text, subject, place, "id")),
                )
            )
        entries[entry.id] = Equipment(
            entry.id,
            entry.name,
            with_consequences(subject, _traits(entry, subject, place, path, text, vocabulary, faults)),
            entry.invented,
            entry.note,
        )
    if faults:
        raise BadInput(faults)
    return entries


def read_sources(folder: Path) -> dict[str, Source]:
    """The references by id; raises BadInput."""
    sources: dict[str, Source] = {}
    faults: list[Fault] = []
    for path in sorted(folder.glob("*.toml")):
        data, text = read_toml(path), read_text(path)
        _check_shape(data, "sources", "source", path, text)
        for place, raw in enumerate(data["source"]):
            try:
                source = validated(Source, raw, path, "source", place)
            except BadInput as error:
                faults.extend(error.faults)
                continue
            if source.id in sources:
                where = Origin(path.name, line=line_of(text, "source", place, "id"))
                faults.append(Fault(f"the source {source.id} is given twice", where))
            sources[source.id] = source
    if faults:
        raise BadInput(faults)
    return sources


def hash_of(root: Path) -> str:
    """SHA-256 over the rules and tables that decide verdicts: each file's path and bytes, in order."""
    digest = hashlib.sha256()
    for name, path in sorted([*_files(root, "rules", (".toml",)), *_files(root, "datasets", HASHED)]):
        if not name.startswith("datasets/demo/"):
            with open(path, "rb", buffering=0) as file:  # noqa: PTH123 (three times quicker than Path)
                content = file.read()
            digest.update(f"{name}\0{len(content)}\0".encode())
            digest.update(content)
    return digest.hexdigest()


def _files(root: Path, folder: str, suffixes: tuple[str, ...]) -> Iterator[tuple[str, str]]:
    """The files below a folder with one of some suffixes: name from the root with slashes, and path."""
    top = os.fspath(root)
    for base, _, names in os.walk(os.path.join(top, folder)):  # noqa: PTH118
        inside = os.path.relpath(base, top).replace(os.sep, "/")
        for name in names:
            if name.endswith(suffixes):
                yield f"{inside}/{name}", os.path.join(base, name)  # noqa: PTH118


def _check_shape(data: dict[str, Any], table: str, subject: str, path: Path, text: str) -> None:
    schema = f"{table}/1"
    if data.get("schema") != schema:
        where = Origin(path.name, line=line_of(text, "schema"))
        raise BadInput([Fault(f"schema is {data.get('schema')!r}", where, f'Allowed: schema = "{schema}"')])
    unknown = [key for key in data if key not in ("schema", subject)]
    if unknown:
        where = Origin(path.name, line=line_of(text, unknown[0]))
        raise BadInput(
            [Fault(f"'{unknown[0]}' is no part of a {table} file", where, f"Allowed: [[{subject}]]")]
        )
    entries = data.get(subject)
    if not isinstance(entries, list) or not entries or not all(isinstance(entry, dict) for entry in entries):
        raise BadInput(
            [Fault("the file has no entries", Origin(path.name), f"Allowed: one or more [[{subject}]]")]
        )


def _traits(
    entry: Entry,
    subject: str,
    place: int,
    path: Path,
    text: str,
    vocabulary: Vocabulary,
    faults: list[Fault],
) -> dict[str, Trait]:
    traits: dict[str, Trait] = {}
    for name, value in entry.traits.items():
        where = Origin(path.name, key=f"{entry.id} {name}")
        definition = vocabulary.traits.get(f"{subject}.{name}")
        if definition is None:
            known = [trait.name for trait in vocabulary.of_subject(subject)]
            line = line_of(text, subject, place, name)
            what = f"{entry.id}: '{name}' is no trait of a {subject}"
            faults.append(Fault(what, Origin(path.name, line=line), do=did_you_mean(name, known)))
            continue
        try:
            trait = trait_of(value, definition, vocabulary, entry.basis, entry.source)
        except ValueFault as error:
            line = line_of(text, subject, place, name)
            faults.append(Fault(f"{entry.id} {name}: {error}", Origin(path.name, line=line)))
            continue
        traits[name] = Trait(trait.content, trait.basis, trait.source, where, trait.recalled)
    return traits


def _attempt(read: Callable[[], dict[str, T]], faults: list[Fault]) -> dict[str, T]:
    try:
        return read()
    except BadInput as error:
        faults.extend(error.faults)
        return {}
