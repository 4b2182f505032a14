"""The rules of a release as tables and as JSON, with sources, questions and cases; references, vocabulary."""

from __future__ import annotations

import csv
import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import fields
from typing import Any

from compat import __version__
from compat.dataset.read import Dataset
from compat.model.vocabulary import TraitDefinition, Unit
from compat.release.table import Cell, Table, columns_of, or_none, table
from compat.rulebook.rules import ParsedRule, cases_file, read_cases

HISTORY = ("status", "since", "withdrawn_because", "superseded_by")


def rule_tables(dataset: Dataset, rules: list[ParsedRule]) -> Iterator[Table]:
    """Rules in the order of their ids, withdrawn ones too, and what belongs to them. Raises BadInput."""
    ordered = sorted(rules, key=lambda rule: rule.rule.id)
    yield table("rules", map(_rule, ordered), "id")
    rows: list[tuple[Cell, ...]] = [
        (rule.rule.id, number, c.source, or_none(c.edition), or_none(c.locator), list(c.supports), c.basis)
        for rule in ordered
        for number, c in enumerate(rule.rule.sources, start=1)
    ]
    yield table("rule_sources", rows, "rule", "number")
    asked = ((rule.rule.id, *asked) for rule in ordered for asked in sorted(rule.rule.ask_for.items()))
    yield table("rule_questions", asked, "rule", "trait")
    yield table("cases", (row for rule in ordered for row in _cases(rule)), "rule", "number")


def reference_tables(dataset: Dataset) -> Iterator[Table]:
    """References, vocabulary, words and units, and which release this is."""
    sources = (dataset.sources[key].model_dump() for key in sorted(dataset.sources))
    yield _plain("sources", sources, "id")
    yield table("vocabulary", map(_fields, dataset.vocabulary.traits.values()), "subject", "name")
    path = dataset.root / "datasets" / "vocabulary" / "choices.csv"
    with path.open(encoding="utf-8", newline="") as file:
        yield _plain("words", csv.DictReader(file), "list", "value")
    yield table("units", map(_fields, dataset.vocabulary.units.values()), "unit")
    yield table("release", [(dataset.version, dataset.sha256, __version__)], "version")


def _plain(name: str, records: Iterable[Mapping[str, Any]], *key: str) -> Table:
    """A table of records that have a text for each of its columns."""
    columns = columns_of(name)
    return table(
        name, (tuple(or_none(record[column.name]) for column in columns) for record in records), *key
    )


def _fields(record: TraitDefinition | Unit) -> tuple[Cell, ...]:
    """The fields of a definition, which the columns of its table are in their order."""
    cells = (getattr(record, field.name) for field in fields(record))
    return tuple(list(cell) if isinstance(cell, tuple) else cell or None for cell in cells)


def _rule(rule: ParsedRule) -> tuple[Cell, ...]:
    data = {**rule.rule.model_dump(), "family": rule.family, "traits": rule.names}
    # What is empty is not said, but for numbers and lists.
    return tuple(
        data[column.name] if column.type in ("whole", "words") else or_none(data[column.name])
        for column in columns_of("rules")
    )


def _cases(rule: ParsedRule) -> Iterator[tuple[Cell, ...]]:
    for number, case in enumerate(read_cases(cases_file(rule.file)).case, start=1):
        given = json.dumps(case.given, ensure_ascii=False)
        last = (case.expect, or_none(case.from_source), or_none(case.known_gap))
        yield (rule.rule.id, number, case.name, case.kind, given, *last)


def rules_text(dataset: Dataset, rules: Sequence[ParsedRule]) -> str:
    """The rules by id, withdrawn ones too. Raises BadInput when cases cannot be read."""
    ordered = sorted(rules, key=lambda rule: rule.rule.id)
    content = {
        "schema": "rules/1",
        "dataset": {"version": dataset.version, "sha256": dataset.sha256},
        "rules": [_rule_as_written(rule, ordered) for rule in ordered],
    }
    return json.dumps(content, indent=2, ensure_ascii=False) + "\n"


def _rule_as_written(rule: ParsedRule, rules: Sequence[ParsedRule]) -> dict[str, Any]:
    written = rule.rule.model_dump(by_alias=True, exclude_defaults=True)
    history = {key: value for key in HISTORY if (value := getattr(rule.rule, key))}
    follows = [other.rule.id for other in rules if rule.rule.id in other.rule.superseded_by]
    return {
        "family": rule.family,
        **{key: value for key, value in written.items() if key not in HISTORY},
        "traits": rule.names,
        "history": {**history, **({"follows": follows} if follows else {})},
        "cases": [case.model_dump(exclude_defaults=True) for case in read_cases(cases_file(rule.file)).case],
    }
