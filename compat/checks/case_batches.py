"""The cases of many rules in one query, which is planned once for all of them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from compat.dataset.values import ValueFault
from compat.engine.frames import TYPES
from compat.engine.handover import columns_into_database
from compat.model.rule import Case
from compat.model.values import Content
from compat.model.vocabulary import Vocabulary
from compat.rulebook.cases import Outcome, given_values
from compat.rulebook.rules import ParsedRule
from compat.rulebook.sql import Stage, base_columns, base_values
from compat.rulebook.truth import NO, verdict_of

if TYPE_CHECKING:
    import duckdb

RuleCases = tuple[ParsedRule, Sequence[Case]]


def readable(cases: RuleCases, vocabulary: Vocabulary) -> str:
    """Why the cases of a rule cannot be read; empty when they can."""
    try:
        for case in cases[1]:
            given_values(case, vocabulary)
    except ValueFault as error:
        return str(error)
    return ""


def outcomes_of(
    batch: Sequence[RuleCases], vocabulary: Vocabulary, connection: duckdb.DuckDBPyConnection
) -> list[list[Outcome]]:
    """What the compiled SQL says of the cases of each rule, in their order. Raises ValueFault.

    Every row is a case and carries the values of its own rule; what the others make of it is not
    looked at.
    """
    _fill(batch, vocabulary, connection)
    stage = Stage("x")
    columns = [
        column for rule, _ in batch for column in (stage.truth(rule.applies), stage.truth(rule.condition))
    ]
    relation = stage.over("case_values", ["case_index", *columns])
    query = f"SELECT {', '.join(columns)} FROM {relation} ORDER BY case_index"
    rows = iter(connection.execute(query).fetchall())
    outcomes: list[list[Outcome]] = []
    for place, (rule, cases) in enumerate(batch):
        codes = [next(rows)[2 * place : 2 * place + 2] for _ in cases]
        outcomes.append(["does_not_apply" if a == NO else verdict_of(c, rule.rule.breach) for a, c in codes])
    return outcomes


def _fill(batch: Sequence[RuleCases], vocabulary: Vocabulary, connection: duckdb.DuckDBPyConnection) -> None:
    bits = vocabulary.bits
    total = sum(len(cases) for _, cases in batch)
    cells: dict[str, list[object]] = {}
    columns: dict[str, tuple[str, Sequence[object]]] = {"case_index": ("INTEGER", range(total))}
    for name in dict.fromkeys(name for rule, _ in batch for name in rule.names):
        kind = vocabulary.traits[name].kind
        for column in base_columns(name, kind):
            cells[column] = [None] * total
            columns[column] = (TYPES[kind], cells[column])
    row = 0
    for rule, cases in batch:
        for case in cases:
            given: dict[str, Content] = given_values(case, vocabulary)
            for name in rule.names:
                trait = vocabulary.traits[name]
                values = base_values(given.get(name), trait, bits)
                for column, value in zip(base_columns(name, trait.kind), values, strict=True):
                    cells[column][row] = value
            row += 1
    columns_into_database(connection, "case_values", columns)
