"""What the checks look at: the parsed dataset, its rules and their cases; and what a check is."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import Any

from compat.dataset.read import Dataset, load_dataset, table_files
from compat.dataset.systems import read_system, system_files
from compat.dataset.toml_files import read_document, read_toml, validated
from compat.intake.own_equipment import is_list, with_own
from compat.model.checks import Scope
from compat.model.equipment import SUBJECT_OF
from compat.model.exceptions import ExceptionEntry, ExceptionsFile
from compat.model.faults import BadInput, Fault
from compat.model.rule import Case
from compat.model.values import Origin, Trait
from compat.rulebook.relations import ParsedRelation, read_relation, relation_files
from compat.rulebook.rules import ParsedRule, cases_file, read_cases, read_rule, rule_files
from compat.rulebook.usual import Usual, read_usual

EXCEPTIONS_FILE = "exceptions.toml"


@dataclass(frozen=True, slots=True)
class TableEntry:
    """One entry of a table file: ``raw`` as it is written, ``traits`` in the words of the model."""

    table: str
    path: Path
    place: int
    raw: Mapping[str, Any]
    traits: Mapping[str, Trait]

    @property
    def id(self) -> str:
        """The id as it is written."""
        return str(self.raw["id"])

    def where(self, *steps: str) -> Origin:
        """The place of a key of the entry, such as ``"traits", "input_power_w"``."""
        return read_document(self.path).where(SUBJECT_OF[self.table], self.place, *steps)


@dataclass(frozen=True, slots=True)
class CheckContext:
    """``unreadable`` holds the faults of files that could not be read at all.

    Of an overlay ``entries`` holds the user's own entries only, and there are no rules.
    """

    dataset: Dataset
    rules: tuple[ParsedRule, ...]
    cases: dict[str, tuple[Case, ...]]
    unreadable: tuple[Fault, ...]
    entries: tuple[TableEntry, ...] = ()
    exceptions: tuple[ExceptionEntry, ...] = ()
    overlay: bool = False
    relations: tuple[ParsedRelation, ...] = ()
    usual: Usual = field(default_factory=Usual)

    def live_rules(self) -> Iterator[ParsedRule]:
        """The rules that are not withdrawn."""
        return (rule for rule in self.rules if rule.rule.status != "withdrawn")

    def dated(self) -> date | None:
        """The day of the dataset, from its datapackage.json; None when it is not stated."""
        package = read_toml(self.dataset.root / "datasets" / "datapackage.json")
        try:
            return date.fromisoformat(str(package.get("created", ""))[:10])
        except ValueError:
            return None


Find = Callable[[CheckContext], Iterator[Fault]]


@dataclass(frozen=True, slots=True)
class DatasetCheck:
    """``sentence`` says what must hold; ``find`` yields a fault for each breach."""

    name: str
    scope: Scope
    sentence: str
    find: Find


def check(name: str, scope: Scope, sentence: str) -> Callable[[Find], DatasetCheck]:
    """Make a function that yields faults a check."""
    return lambda find: DatasetCheck(name, scope, sentence, find)


def read_context(root: Path | None) -> CheckContext:
    """Read everything that can be read; raises BadInput only when the tables cannot."""
    dataset = load_dataset(root)
    rules: list[ParsedRule] = []
    cases: dict[str, tuple[Case, ...]] = {}
    faults: list[Fault] = []
    for path in rule_files(dataset.rules_folder):
        try:
            rule = read_rule(path, dataset.vocabulary)
            rules.append(rule)
            beside = cases_file(path)
            if beside.exists():
                cases[rule.rule.slug] = tuple(read_cases(beside).case)
        except BadInput as error:
            faults.extend(error.faults)
    try:
        exceptions = _exceptions(dataset.rules_folder)
    except BadInput as error:
        exceptions = ()
        faults.extend(error.faults)
    relations: list[ParsedRelation] = []
    for path in relation_files(dataset.rules_folder):
        try:
            relations.append(read_relation(path, dataset.vocabulary))
        except BadInput as error:
            faults.extend(error.faults)
    try:
        usual = read_usual(dataset.root, dataset.vocabulary)
    except BadInput as error:
        usual = Usual()
        faults.extend(error.faults)
    for path in system_files(dataset.root):
        try:
            read_system(path, dataset)
        except BadInput as error:
            faults.extend(error.faults)
    files = [(table, path) for table in SUBJECT_OF for path in table_files(dataset.root, table)]
    entries = tuple(_entries(files, dataset))
    return CheckContext(
        dataset,
        tuple(rules),
        cases,
        tuple(faults),
        entries,
        exceptions,
        relations=tuple(relations),
        usual=usual,
    )


def read_overlay_context(root: Path | None, drivers: Path | None, outputs: Path | None) -> CheckContext:
    """The user's own equipment over a dataset; raises BadInput with the faults of both files."""
    dataset = load_dataset(root)
    faults: list[Fault] = []
    files = [(table, path) for table, path in (("drivers", drivers), ("outputs", outputs)) if path]
    for table, path in files:
        try:
            dataset = with_own(dataset, table, path).dataset
        except BadInput as error:
            faults.extend(error.faults)
    if faults:
        raise BadInput(faults)
    # A spreadsheet has no entries as the dataset writes them; that it can be read is all there is to check.
    written = [(table, path) for table, path in files if not is_list(path)]
    return CheckContext(dataset, (), {}, (), tuple(_entries(written, dataset)), overlay=True)


def _exceptions(rules_folder: Path) -> tuple[ExceptionEntry, ...]:
    """The exceptions of a rules folder, none without the file. Raises BadInput."""
    path = rules_folder / EXCEPTIONS_FILE
    if not path.is_file():
        return ()
    document = read_document(path)
    return tuple(validated(ExceptionsFile, document.data, document).exception)


def _entries(files: Iterable[tuple[str, Path]], dataset: Dataset) -> Iterator[TableEntry]:
    for table, path in files:
        for place, raw in enumerate(read_toml(path)[SUBJECT_OF[table]]):
            yield TableEntry(table, path, place, raw, dataset.tables[table][raw["id"]].traits)


def in_rule(rule: ParsedRule, *steps: str | int) -> Origin:
    """The place of a key in a rule file."""
    return _inside(rule.family, rule.file, steps)


def in_cases(rule: ParsedRule, *steps: str | int) -> Origin:
    """The place of a key in the cases file beside a rule."""
    return _inside(rule.family, cases_file(rule.file), steps)


def _inside(family: str, path: Path, steps: tuple[str | int, ...]) -> Origin:
    return Origin(f"{family}/{path.name}", line=read_document(path).line(*steps) if steps else None)
