"""Expressions evaluated whole by the evaluator, and in clauses with one subject on either side."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from compat.model.values import Content, Interval
from compat.model.vocabulary import Vocabulary
from compat.rulebook.cases import evaluation
from compat.rulebook.clauses import Clause, clauses_of
from compat.rulebook.evaluator import Evaluator
from compat.rulebook.expression import Reader
from compat.rulebook.nodes import QuantityNode, TruthNode
from compat.rulebook.truth import YES

Row = Mapping[str, Content]
Ends = tuple[float | None, float | None]
SUBJECTS = ("circuit", "output", "supply", "driver", "breaker", "cable", "source_impedance")


def reader(vocabulary: Vocabulary) -> Reader:
    """A reader that may use every subject."""
    return Reader(vocabulary, SUBJECTS)


def exact(value: float) -> Interval:
    """An interval of one figure."""
    return Interval(value, value)


def truths(tree: TruthNode, rows: Sequence[Row], vocabulary: Vocabulary) -> list[int]:
    """The truth codes by the evaluator."""
    return [evaluation(row, vocabulary).truth(tree) for row in rows]


def clause_truths(tree: TruthNode, rows: Sequence[Row], vocabulary: Vocabulary) -> list[int]:
    """The truth codes by the clauses of a condition: demands against allowances."""
    clauses = clauses_of(tree)
    return [_least(clauses, evaluation(row, vocabulary)) for row in rows]


def _least(clauses: Sequence[Clause], values: Evaluator) -> int:
    codes = (clause.code(clause.demand(values), clause.allowance(values), values.truth) for clause in clauses)
    return min(codes, default=YES)


def ends(tree: QuantityNode, rows: Sequence[Row], vocabulary: Vocabulary) -> list[Ends]:
    """The low and high ends by the evaluator, both None where it is not known."""
    found = (evaluation(row, vocabulary).quantity(tree) for row in rows)
    return [(interval.low, interval.high) if interval else (None, None) for interval in found]
