"""The dataset as a whole: where it lies, its tables, references, version and hash."""

from __future__ import annotations

import hashlib
import os
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path
from typing import TypeVar

from compat.dataset.consequences import with_consequences
from compat.dataset.toml_files import Document, read_document, validated
from compat.dataset.values import ValueFault, trait_of
from compat.dataset.vocabulary import checked_vocabulary
from compat.model.equipment import SUBJECT_OF, Entry
from compat.model.faults import BadInput, Fault, did_you_mean, shown
from compat.model.files import open_ordinary
from compat.model.source import Source
from compat.model.values import Origin, Trait
from compat.model.vocabulary import Vocabulary

TABLES = tuple(SUBJECT_OF)
PARTS = ("rules", "schemas", "datasets")
HASHED = (".toml", ".csv", ".json")
# A version of Semantic Versioning 2.0.0 (semver.org), without its pre-release and build parts.
VERSION = re.compile(r"(0|[1-9][0-9]{0,8})\.(0|[1-9][0-9]{0,8})\.(0|[1-9][0-9]{0,8})")
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
        for path in table_files(root, table):
            entries.update(_attempt(partial(read_table, path, table, vocabulary), faults))
        tables[table] = entries
    sources = _attempt(partial(read_sources, folder / "sources"), faults)
    if faults:
        raise BadInput(faults)
    version = _version(read_document(folder / "datapackage.json"))
    return Dataset(root, vocabulary, tables, sources, version, hash_of(root))


def table_files(root: Path, table: str) -> list[Path]:
    """The files of a table, or of the sources, in the order in which they are read."""
    return sorted((root / "datasets" / table.replace("_", "-")).glob("*.toml"))


def read_table(path: Path, table: str, vocabulary: Vocabulary) -> dict[str, Equipment]:
    """The entries of one table file, of the dataset or the user's own, by id.

    Raises BadInput with a fault, its line and what is allowed, for every value that does not fit.
    """
    return table_of(read_document(path), table, vocabulary)


def table_of(document: Document, table: str, vocabulary: Vocabulary) -> dict[str, Equipment]:
    """The entries of a table file that is read already; see :func:`read_table`."""
    subject = SUBJECT_OF[table]
    entries: dict[str, Equipment] = {}
    faults: list[Fault] = []
    _check_shape(document, table, subject)
    for place, raw in enumerate(document.data[subject]):
        try:
            entry = validated(Entry, raw, document, subject, place)
        except BadInput as error:
            faults.extend(error.faults)
            continue
        if not entry.name.isprintable():
            where = document.where(subject, place, "name")
            faults.append(Fault(f"{entry.id}: the name holds a character that cannot be shown", where))
        if entry.id in entries:
            faults.append(Fault(f"the id {entry.id} is given twice", document.where(subject, place, "id")))
        traits = _traits(entry, document, (subject, place, "traits"), vocabulary, faults)
        traits = with_consequences(subject, traits)
        entries[entry.id] = Equipment(entry.id, entry.name, traits, entry.invented, entry.note)
    if faults:
        raise BadInput(faults)
    return entries


def read_sources(folder: Path) -> dict[str, Source]:
    """The references by id; raises BadInput."""
    sources: dict[str, Source] = {}
    faults: list[Fault] = []
    for path in sorted(folder.glob("*.toml")):
        document = read_document(path)
        _check_shape(document, "sources", "source")
        for place, raw in enumerate(document.data["source"]):
            try:
                source = validated(Source, raw, document, "source", place)
            except BadInput as error:
                faults.extend(error.faults)
                continue
            if source.id in sources:
                where = document.where("source", place, "id")
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
            with open_ordinary(path) as file:
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


def _check_shape(document: Document, table: str, subject: str) -> None:
    data, schema = document.data, f"{table}/1"
    if data.get("schema") != schema:
        what, allowed = f"schema is {data.get('schema')!r}", f'Allowed: schema = "{schema}"'
        raise BadInput([Fault(what, document.where("schema"), allowed)])
    unknown = [key for key in data if key not in ("schema", subject)]
    if unknown:
        what, allowed = f"'{unknown[0]}' is no part of a {table} file", f"Allowed: [[{subject}]]"
        raise BadInput([Fault(what, document.where(unknown[0]), allowed)])
    entries = data.get(subject)
    if not isinstance(entries, list) or not entries or not all(isinstance(entry, dict) for entry in entries):
        allowed = f"Allowed: one or more [[{subject}]]"
        raise BadInput([Fault("the file has no entries", document.where(subject), allowed)])


def _traits(
    entry: Entry,
    document: Document,
    table: tuple[str | int, ...],
    vocabulary: Vocabulary,
    faults: list[Fault],
) -> dict[str, Trait]:
    """The traits in a table of the file, such as ``("driver", 2, "traits")``; what misfits is a fault."""
    traits: dict[str, Trait] = {}
    subject = str(table[0])
    for name, value in entry.traits.items():
        definition = vocabulary.traits.get(f"{subject}.{name}")
        if definition is None:
            known = [trait.name for trait in vocabulary.of_subject(subject)]
            what = f"{entry.id}: '{name}' is no trait of a {subject}"
            faults.append(Fault(what, document.where(*table, name), do=did_you_mean(name, known)))
            continue
        try:
            trait = trait_of(value, definition, vocabulary, entry.basis, entry.source)
        except ValueFault as error:
            faults.append(Fault(f"{entry.id} {name}: {error}", document.where(*table, name)))
            continue
        origin = Origin(document.path.name, key=f"{entry.id} {name}")
        traits[name] = Trait(trait.content, trait.basis, trait.source, origin, trait.recalled)
    return traits


def _version(document: Document) -> str:
    """The version of a dataset, which names the folder of its release. Raises BadInput."""
    version = document.data.get("version")
    if version is None:
        raise BadInput([Fault("the version is missing", Origin("datapackage.json"), do='Add "version"')])
    if not isinstance(version, str) or not VERSION.fullmatch(version):
        allowed = "Allowed: three numbers as in 1.4.0"
        raise BadInput([Fault(f"the version is {shown(version)}", document.where("version"), allowed)])
    return version


def _attempt(read: Callable[[], dict[str, T]], faults: list[Fault]) -> dict[str, T]:
    try:
        return read()
    except BadInput as error:
        faults.extend(error.faults)
        return {}
