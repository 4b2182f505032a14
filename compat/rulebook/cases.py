"""The cases of a rule, run two ways: in plain Python and in the database."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Protocol

from compat.dataset.values import ValueFault, content_of
from compat.model.rule import Case
from compat.model.values import Content
from compat.model.verdicts import Verdict
from compat.model.vocabulary import Vocabulary
from compat.rulebook.reference import Evaluation
from compat.rulebook.rules import ParsedRule
from compat.rulebook.sql import Stage, base_columns, base_values, number
from compat.rulebook.truth import NO, verdict_of

Outcome = Verdict | str


class Connection(Protocol):
    """The little of a database connection that the runner needs."""

    def execute(self, query: str) -> Any:
        """Run one statement."""


def evaluation(values: Mapping[str, Content], vocabulary: Vocabulary) -> Evaluation:
    """An evaluation over values by full trait name; what is not given is unknown."""
    return Evaluation(values.get, vocabulary.bit_of)


def given_values(case: Case, vocabulary: Vocabulary) -> dict[str, Content]:
    """The values of a case; raises ValueFault for an unknown name or an unfit value."""
    values: dict[str, Content] = {}
    for name, value in case.given.items():
        if name not in vocabulary.traits:
            raise ValueFault(f"'{name}' is not in the vocabulary")
        values[name] = content_of(value, vocabulary.traits[name], vocabulary)
    return values


def reference_outcome(rule: ParsedRule, case: Case, vocabulary: Vocabulary) -> Outcome:
    """What the plain-Python form says of a case."""
    run = evaluation(given_values(case, vocabulary), vocabulary)
    if run.truth(rule.applies) == NO:
        return "does_not_apply"
    return verdict_of(run.truth(rule.condition), rule.rule.breach)


def database_outcomes(
    rule: ParsedRule, cases: Sequence[Case], vocabulary: Vocabulary, connection: Connection
) -> list[Outcome]:
    """What the compiled SQL says of all cases of a rule, in their order."""
    stage = Stage("x")
    applies, condition = stage.truth(rule.applies), stage.truth(rule.condition)
    rows = []
    for index, case in enumerate(cases):
        values = given_values(case, vocabulary)
        cells = [cell for name in rule.names for cell in _cells(name, values.get(name), vocabulary)]
        rows.append(f"SELECT {', '.join([f'{index} AS case_index', *cells])}")
    relation = stage.over(f"({' UNION ALL '.join(rows)})", ["case_index", applies, condition])
    found = connection.execute(
        f"SELECT {applies}, {condition} FROM {relation} ORDER BY case_index"
    ).fetchall()
    return ["does_not_apply" if a == NO else verdict_of(c, rule.rule.breach) for a, c in found]


def _cells(name: str, value: Content, vocabulary: Vocabulary) -> list[str]:
    trait = vocabulary.traits[name]
    columns = base_columns(name, trait.kind)
    cells = base_values(value, trait, vocabulary.bits)
    type_name = {"quantity": "DOUBLE", "yes_no": "BOOLEAN"}.get(trait.kind, "INTEGER")
    literals = [f"NULL::{type_name}" if cell is None else _literal(cell) for cell in cells]
    return [f"{literal} AS {column}" for literal, column in zip(literals, columns, strict=True)]


def _literal(cell: float | int | bool) -> str:
    return number(cell) if isinstance(cell, float) else f"{cell}".lower()
