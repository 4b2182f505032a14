"""The rules of a release as tables and as JSON, with sources, questions and cases; references, vocabulary."""

from __future__ import annotations

import csv
import json
from collections.abc import Iterator, Sequence
from typing import Any

from compat import __version__
from compat.dataset.read import Dataset
from compat.release.table import Cell, Column, Table, or_none, text, words
from compat.rulebook.rules import ParsedRule, cases_file, read_cases

RULE = (
    text("id", "The id, given once and never used again"),
    text("slug", "What is wrong when the rule is broken, for addresses"),
    text("family", "The folder of the rule"),
    text("title", "The rule in one sentence"),
    text("question", "The question that the rule answers"),
    text("scope", "What is looked at: luminaire, pairing, bus, supply, module or system"),
    text("applies", "When the rule applies, as an expression"),
    text("demand", "What is compared"),
    text("at_most", "The limit that the demand must not exceed"),
    text("at_least", "The limit that the demand must reach"),
    text("requires", "What must be so, for a rule without a demand"),
    text("breach", "What a breach is: marginal, fails or hazard"),
    Column("precedence", "whole", "Of equal verdicts the lowest number is told first"),
    text("status", "preview, stable, retiring or withdrawn"),
    text("since", "The version in which it came; empty: since the first release"),
    text("withdrawn_because", "Why it was withdrawn"),
    words("superseded_by", "The ids of the rules that follow it"),
    text("because", "The sentence of a finding; {…} are filled in"),
    words("remedies", "What to do about a breach"),
    text("caution", "The caution to read first"),
    text("note", "What else to know"),
    words("traits", "The traits that the rule uses"),
)
CITATION = (
    text("rule", "The id of the rule"),
    Column("number", "whole", "Place among the citations of the rule, from 1"),
    text("source", "The id of the source"),
    text("edition", "The edition, where it is not that of the source"),
    text("locator", "Which part of the source"),
    words("supports", "Which parts of the rule it supports"),
    text("basis", "standard, derived, measured, common_practice or memory"),
)
QUESTION = (
    text("rule", "The id of the rule"),
    text("trait", "The trait that can be unknown"),
    text("question", "The question by which one gets it"),
)
CASE = (
    text("rule", "The id of the rule"),
    Column("number", "whole", "Place among the cases of the rule, from 1"),
    text("name", "The case in words"),
    text("kind", "holds, breaks, at_limit, past_limit, straddles, missing or not_applicable"),
    text("given", 'The values, as JSON; "unknown" for one that is not known'),
    text("expect", "The verdict that the rule must give, or does_not_apply"),
    text("from_source", "The id of the source from which the case was typed"),
    text("known_gap", "Why the program does not give it yet"),
)
SOURCE = tuple(
    text(name, meaning)
    for name, meaning in (
        ("id", "The id, given once and never used again"),
        ("short", "How it is named in a line"),
        ("title", "Its full title"),
        ("edition", "Its edition"),
        ("publisher", "Who published it"),
        ("kind", "standard, law, association, report, textbook, course, article, derivation or practice"),
        ("read_as", "What was read: the text itself, an account of it, nothing but memory, own work"),
        ("note", "Which text was read"),
    )
)
TRAIT = tuple(
    text(name, meaning)
    for name, meaning in (
        ("subject", "What has the trait: driver, output, circuit, line, supply ..."),
        ("name", "The name of the trait, with its unit"),
        ("kind", "quantity, choice, yes_no or set"),
        ("unit", "The unit, as in the table units"),
        ("list", "The list of words that it may hold"),
        ("gather", "How a circuit or line gets it from its members"),
        ("gathered_from", "The trait of the members from which it comes"),
        ("label", "The name for people"),
        ("meaning", "What it is"),
        ("where_to_find", "Where one finds it"),
    )
)
WORD = (
    text("list", "The list"),
    text("value", "The word as data"),
    text("symbol", "The word for people"),
    text("meaning", "What it means"),
)
UNIT = (
    text("unit", "The unit as in names of traits"),
    text("symbol", "Its symbol"),
    text("dimension", "What it measures"),
    Column("factor", "number", "What one of it is in the base unit of its dimension"),
)


HISTORY = ("status", "since", "withdrawn_because", "superseded_by")


def rule_tables(dataset: Dataset, rules: list[ParsedRule]) -> Iterator[Table]:
    """Rules in the order of their ids, withdrawn ones too, and what belongs to them. Raises BadInput."""
    ordered = sorted(rules, key=lambda rule: rule.rule.id)
    yield Table("rules", "The rules, one row each", RULE, tuple(map(_rule, ordered)), ("id",))
    rows: list[tuple[Cell, ...]] = [
        (rule.rule.id, number, c.source, or_none(c.edition), or_none(c.locator), list(c.supports), c.basis)
        for rule in ordered
        for number, c in enumerate(rule.rule.sources, start=1)
    ]
    yield Table("rule_sources", "What supports each rule", CITATION, tuple(rows), ("rule", "number"))
    rows = [(rule.rule.id, *asked) for rule in ordered for asked in sorted(rule.rule.ask_for.items())]
    yield Table("rule_questions", "What to ask for each rule", QUESTION, tuple(rows), ("rule", "trait"))
    rows = [row for rule in ordered for row in _cases(rule)]
    yield Table("cases", "The cases that each rule must pass", CASE, tuple(rows), ("rule", "number"))


def reference_tables(dataset: Dataset) -> Iterator[Table]:
    """References, vocabulary, words and units, and which release this is."""
    sources = [dataset.sources[key].model_dump() for key in sorted(dataset.sources)]
    rows: list[tuple[Cell, ...]] = [tuple(or_none(entry[c.name]) for c in SOURCE) for entry in sources]
    yield Table("sources", "What was read, one row each", SOURCE, tuple(rows), ("id",))
    vocabulary = dataset.vocabulary
    rows = [
        tuple(
            or_none(cell)
            for cell in (
                t.subject, t.name, t.kind, t.unit, t.choices, t.gather, t.gathered_from, t.label, t.meaning,
                t.where_to_find,
            )
        )
        for t in vocabulary.traits.values()
    ]  # fmt: skip
    yield Table("vocabulary", "Every trait and what it means", TRAIT, tuple(rows), ("subject", "name"))
    path = dataset.root / "datasets" / "vocabulary" / "choices.csv"
    with path.open(encoding="utf-8", newline="") as file:
        rows = [tuple(or_none(row[column.name]) for column in WORD) for row in csv.DictReader(file)]
    yield Table("words", "The words of every list", WORD, tuple(rows), ("list", "value"))
    rows = [(u.name, or_none(u.symbol), or_none(u.dimension), u.factor) for u in vocabulary.units.values()]
    yield Table("units", "The units", UNIT, tuple(rows), ("unit",))
    columns = (
        text("version", "The version of the dataset"),
        text("sha256", "The hash of its rules and tables, which every report names"),
        text("program", "The version of compat that made the release"),
    )
    stamp: tuple[Cell, ...] = (dataset.version, dataset.sha256, __version__)
    yield Table("release", "Which release this is", columns, (stamp,), ("version",))


def _rule(rule: ParsedRule) -> tuple[Cell, ...]:
    data = rule.rule.model_dump()
    own: dict[str, Cell] = {"family": rule.family, "traits": rule.names}
    return tuple(own.get(column.name) or data[column.name] or _empty(column, data) for column in RULE)


def _empty(column: Column, data: dict[str, Cell]) -> Cell:
    return data[column.name] if column.type in ("whole", "words") else None


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
