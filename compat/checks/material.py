"""What the checks look at: the parsed dataset, its rules and their cases."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from compat.checks.exceptions_file import read_exceptions
from compat.dataset.read import Dataset, load_dataset
from compat.dataset.toml_files import line_of, read_text, read_toml
from compat.intake.own_equipment import is_list, with_own
from compat.model.equipment import SUBJECT_OF
from compat.model.exceptions import ExceptionEntry
from compat.model.faults import BadInput, Fault
from compat.model.rule import Case
from compat.model.values import Origin, Trait
from compat.rulebook.rules import ParsedRule, cases_file, read_cases, read_rule, rule_files


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


@dataclass(frozen=True, slots=True)
class Material:
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


def read_material(root: Path | None) -> Material:
    """Read everything that can be read; raises BadInput only when the tables cannot."""
    dataset = load_dataset(root)
    rules: list[ParsedRule] = []
    cases: dict[str, tuple[Case, ...]] = {}
    faults: list[Fault] = []
    for path in rule_files(dataset.rules_folder):
        try:
            rule = read_rule(path, dataset.vocabulary)
        except BadInput as error:
            faults.extend(error.faults)
            continue
        rules.append(rule)
        beside = cases_file(path)
        if not beside.exists():
            continue
        try:
            cases[rule.rule.slug] = tuple(read_cases(beside).case)
        except BadInput as error:
            faults.extend(error.faults)
    try:
        exceptions = read_exceptions(dataset.rules_folder)
    except BadInput as error:
        exceptions = ()
        faults.extend(error.faults)
    files = [
        (table, path)
        for table in SUBJECT_OF
        for path in sorted((dataset.root / "datasets" / table.replace("_", "-")).glob("*.toml"))
    ]
    entries = tuple(_entries(files, dataset))
    return Material(dataset, tuple(rules), cases, tuple(faults), entries, exceptions)


def read_overlay(root: Path | None, drivers: Path | None, outputs: Path | None) -> Material:
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
    return Material(dataset, (), {}, (), tuple(_entries(written, dataset)), overlay=True)


def _entries(files: Iterable[tuple[str, Path]], dataset: Dataset) -> Iterator[TableEntry]:
    for table, path in files:
        for place, raw in enumerate(read_toml(path)[SUBJECT_OF[table]]):
            traits = dataset.tables[table][raw["id"]].traits
            yield TableEntry(table, path, place, raw, traits)


def in_rule(rule: ParsedRule, *keys: str) -> Origin:
    """The place of a key in a rule file."""
    return Origin(
        f"{rule.family}/{rule.file.name}", line=line_of(read_text(rule.file), *keys) if keys else None
    )


def in_cases(rule: ParsedRule, *keys: str) -> Origin:
    """The place of a key in the cases file beside a rule."""
    path = cases_file(rule.file)
    return Origin(f"{rule.family}/{path.name}", line=line_of(read_text(path), *keys) if keys else None)


def in_entry(entry: TableEntry, *keys: str) -> Origin:
    """The place of an entry of a table, or of a key in it."""
    subject = SUBJECT_OF[entry.table]
    line = line_of(read_text(entry.path), subject, entry.place, *(keys or ("id",)))
    return Origin(entry.path.name, line=line)
