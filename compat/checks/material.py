"""What the checks look at: the parsed dataset, its rules and their cases."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from compat.dataset.read import Dataset, load_dataset
from compat.dataset.toml_files import line_of, read_text
from compat.model.faults import BadInput, Fault
from compat.model.rule import Case
from compat.model.values import Origin
from compat.rulebook.rules import ParsedRule, cases_file, read_cases, read_rule, rule_files


@dataclass(frozen=True, slots=True)
class Material:
    """``unreadable`` holds the faults of files that could not be read at all."""

    dataset: Dataset
    rules: tuple[ParsedRule, ...]
    cases: dict[str, tuple[Case, ...]]
    unreadable: tuple[Fault, ...]

    def live_rules(self) -> Iterator[ParsedRule]:
        """The rules that are not withdrawn."""
        return (rule for rule in self.rules if rule.rule.status != "withdrawn")


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
    return Material(dataset, tuple(rules), cases, tuple(faults))


def in_rule(rule: ParsedRule, *keys: str) -> Origin:
    """The place of a key in a rule file."""
    return Origin(
        f"{rule.family}/{rule.file.name}", line=line_of(read_text(rule.file), *keys) if keys else None
    )


def in_cases(rule: ParsedRule, *keys: str) -> Origin:
    """The place of a key in the cases file beside a rule."""
    path = cases_file(rule.file)
    return Origin(f"{rule.family}/{path.name}", line=line_of(read_text(path), *keys) if keys else None)
