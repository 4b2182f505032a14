"""One edition of the dataset with all that a comparison looks at."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from compat.dataset.read import TABLES, Dataset, load_dataset, table_files
from compat.dataset.toml_files import read_document, read_toml, validated
from compat.model.equipment import SUBJECT_OF, Entry
from compat.model.faults import BadInput, Fault
from compat.model.rule import Case
from compat.rulebook.rules import ParsedRule, cases_file, read_cases, read_rules


@dataclass(frozen=True, slots=True)
class Edition:
    """Rules and cases by rule id, withdrawn ones included, and table entries as they are written."""

    dataset: Dataset
    rules: Mapping[str, ParsedRule]
    cases: Mapping[str, tuple[Case, ...]]
    entries: Mapping[str, Mapping[str, Entry]]
    defaults: Mapping[str, Any]

    @property
    def live(self) -> list[ParsedRule]:
        """The rules in force, in telling order."""
        return [rule for rule in self.rules.values() if rule.rule.status != "withdrawn"]

    def judges(self, identity: str) -> bool:
        """Whether a rule is in force and more than a preview, so that its verdicts are stable."""
        rule = self.rules.get(identity)
        return rule is not None and rule.rule.status in ("stable", "retiring")


def read_edition(root: Path, given: str) -> Edition:
    """The edition in a folder with rules/, schemas/ and datasets/.

    Raises BadInput, every fault with the name by which the edition was given: a file of that name
    lies in the other edition as well.
    """
    try:
        return _read(root)
    except BadInput as error:
        raise BadInput([_of(fault, root, given) for fault in error.faults]) from None


def _of(fault: Fault, root: Path, given: str) -> Fault:
    """A fault told by the name of the edition, wherever that lies for now."""
    file = fault.where.file.removeprefix(f"{root}/")
    return replace(fault, where=replace(fault.where, file=f"{given}, {file}"))


def _read(root: Path) -> Edition:
    dataset = load_dataset(root)
    rules = {rule.rule.id: rule for rule in read_rules(dataset.rules_folder, dataset.vocabulary, True)}
    cases = {
        identity: tuple(read_cases(beside).case)
        for identity, rule in rules.items()
        if (beside := cases_file(rule.file)).is_file()
    }
    entries = {table: written_entries(root, table) for table in TABLES}
    return Edition(dataset, rules, cases, entries, read_toml(root / "datasets" / "defaults.toml"))


def written_entries(root: Path, table: str) -> dict[str, Entry]:
    """The entries of a table as they are written, by id. Raises BadInput."""
    subject = SUBJECT_OF[table]
    found: dict[str, Entry] = {}
    for path in table_files(root, table):
        document = read_document(path)
        for place, raw in enumerate(document.data[subject]):
            entry = validated(Entry, raw, document, subject, place)
            found[entry.id] = entry
    return found


def locators_of(entry: Entry) -> dict[str, str]:
    """Which part of its source each trait of an entry is from, where that is said."""
    return {
        name: value["locator"]
        for name, value in entry.traits.items()
        if isinstance(value, dict) and value.get("locator")
    }
