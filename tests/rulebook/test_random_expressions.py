"""Random expressions of the grammar on random values: clauses agree with the whole; verdicts are sound."""

from __future__ import annotations

import math
import re
from types import SimpleNamespace
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from mpmath import iv

from compat.model.values import Content, Interval
from compat.model.vocabulary import Vocabulary
from compat.rulebook import nodes
from compat.rulebook.truth import EITHER, NO, UNKNOWN, YES
from tests.rulebook.parts import (
    clause_truths,
    ends,
    reader,
    truths,
)
from tests.rulebook.strategies import KINDS, conditions, quantities, values_of

SLOW = settings(max_examples=80, deadline=None, suppress_health_check=list(HealthCheck))


def drawn_rows(data: st.DataObject, names: list[str], vocabulary: Vocabulary) -> list[dict[str, Content]]:
    row = st.fixed_dictionaries({name: values_of(name, vocabulary) for name in names})
    return data.draw(st.lists(row, min_size=1, max_size=4))


@SLOW
@given(data=st.data())
def test_clauses_decide_what_the_whole_condition_decides(data: st.DataObject, vocabulary: Vocabulary) -> None:
    tree = reader(vocabulary).truth(data.draw(conditions(vocabulary, 2)))
    rows = drawn_rows(data, nodes.names(tree), vocabulary)
    expected = truths(tree, rows, vocabulary)
    for whole, in_clauses in zip(expected, clause_truths(tree, rows, vocabulary), strict=True):
        assert whole == in_clauses or {whole, in_clauses} == {UNKNOWN, EITHER}


@SLOW
@given(data=st.data())
def test_quantities_are_those_of_a_library_for_intervals(data: st.DataObject, vocabulary: Vocabulary) -> None:
    """Oracle: the interval arithmetic of mpmath, at 200 bits, rounded outward."""
    kind = data.draw(st.sampled_from(sorted(KINDS)))
    tree = reader(vocabulary).quantity(data.draw(quantities(kind, 3)))
    row = drawn_intervals(data, nodes.names(tree))
    ((low, high),) = ends(tree, [row], vocabulary)
    oracle = by_mpmath(tree, row)
    if low is None or high is None:
        return
    assert oracle is not None
    noise = 1e-9 * max(abs(low), abs(high), *(i.high for i in row.values()), 1.0)
    assert abs(low - float(oracle.a)) <= noise
    assert abs(high - float(oracle.b)) <= noise


def by_mpmath(node: nodes.QuantityNode, row: dict[str, Interval]) -> Any:
    """The interval of a quantity; None where a divisor may be zero."""
    match node:
        case nodes.Number():
            return iv.mpf(node.value)
        case nodes.QuantityName():
            return iv.mpf([row[node.name].low, row[node.name].high])
    left, right = by_mpmath(node.left, row), by_mpmath(node.right, row)
    if left is None or right is None:
        return None
    if isinstance(node, nodes.Extreme):
        pick = min if node.which == "min" else max
        return iv.mpf([pick(left.a, right.a), pick(left.b, right.b)])
    if node.operator == "/":
        return None if right.a <= 0 <= right.b else left / right
    return {"+": left + right, "-": left - right, "*": left * right}[node.operator]


class Near(ArithmeticError):
    """Two figures lie so close that the tolerance or a rounding may decide."""


class Figure(float):
    """A float that refuses comparisons too close to call."""

    def _against(self, other: float) -> None:
        if not (math.isfinite(self) and math.isfinite(other)):
            raise Near
        if abs(self - other) <= 1e-6 * max(abs(self), abs(other), 1e-300):
            raise Near

    def __le__(self, other: float) -> bool:
        self._against(other)
        return float(self) <= float(other)

    def __ge__(self, other: float) -> bool:
        return Figure(other) <= self

    def __lt__(self, other: float) -> bool:
        return self <= other

    def __gt__(self, other: float) -> bool:
        return self >= other

    def __eq__(self, other: object) -> bool:
        assert isinstance(other, float)
        self._against(other)
        return False

    def __ne__(self, other: object) -> bool:
        return not self == other

    __hash__ = None  # type: ignore[assignment]


for _operation in ("add", "sub", "mul", "truediv"):
    _plain = getattr(float, f"__{_operation}__")
    setattr(
        Figure,
        f"__{_operation}__",
        lambda self, other, _plain=_plain: Figure(_plain(float(self), float(other))),
    )


def by_python(text: str, point: dict[str, float], vocabulary: Vocabulary) -> float:
    """An expression of quantities at single figures, by Python itself with everything in base units."""
    subjects: dict[str, dict[str, Figure]] = {}
    for name, value in point.items():
        subject, trait = name.split(".")
        unit = vocabulary.units[vocabulary.traits[name].unit]
        subjects.setdefault(subject, {})[trait] = Figure(value * unit.factor)
    names: dict[str, object] = {subject: SimpleNamespace(**traits) for subject, traits in subjects.items()}
    for unit in vocabulary.units.values():
        names[unit.name] = lambda value, factor=unit.factor: Figure(value * factor)
    names |= {
        "min": lambda a, b: a if float(a) <= float(b) else b,
        "max": lambda a, b: a if float(a) >= float(b) else b,
    }
    assert re.fullmatch(r"[a-z0-9_.,()<>=!+*/e -]+", text)
    return float(eval(text, {"__builtins__": {}}, names))


def drawn_points(data: st.DataObject, row: dict[str, Interval]) -> list[dict[str, float]]:
    """A few points inside, the corners among them."""
    share = st.one_of(st.sampled_from([0.0, 1.0]), st.floats(0, 1))
    shares = data.draw(st.lists(st.fixed_dictionaries(dict.fromkeys(row, share)), min_size=4, max_size=4))
    return [
        {name: ends.low + at[name] * (ends.high - ends.low) for name, ends in row.items()} for at in shares
    ]


def drawn_intervals(data: st.DataObject, names: list[str]) -> dict[str, Interval]:
    ends = st.tuples(st.floats(0, 1e3), st.floats(0, 1e3)).map(sorted)
    return {name: Interval(*data.draw(ends)) for name in names}


@SLOW
@given(data=st.data())
def test_an_interval_holds_the_quantity_at_every_point_inside(
    data: st.DataObject, vocabulary: Vocabulary
) -> None:
    """Checked against Python's own arithmetic, which knows nothing of intervals, units or trees."""
    kind = data.draw(st.sampled_from(sorted(KINDS)))
    text = data.draw(quantities(kind, 3))
    tree = reader(vocabulary).quantity(text)
    row = drawn_intervals(data, nodes.names(tree))
    ((low, high),) = ends(tree, [row], vocabulary)
    if low is None or high is None:
        return
    noise = 1e-9 * max(abs(low), abs(high), *(i.high for i in row.values()), 1.0)
    for point in drawn_points(data, row):
        value = by_python(text, point, vocabulary) / tree.measure.factor
        assert low - noise <= value <= high + noise, f"{text} at {point}"


@SLOW
@given(data=st.data())
def test_what_holds_over_intervals_holds_at_every_point_inside(
    data: st.DataObject, vocabulary: Vocabulary
) -> None:
    kind = data.draw(st.sampled_from(sorted(KINDS)))
    sides = data.draw(st.tuples(quantities(kind, 2), quantities(kind, 2)))
    operator = data.draw(st.sampled_from(("<=", "<", ">=", ">", "==", "!=")))
    text = f"{sides[0]} {operator} {sides[1]}"
    tree = reader(vocabulary).truth(text)
    row = drawn_intervals(data, nodes.names(tree))
    (code,) = truths(tree, [row], vocabulary)
    for point in drawn_points(data, row):
        try:
            holds = bool(by_python(text, point, vocabulary))
        except (Near, ZeroDivisionError):
            continue
        assert (code, holds) not in {(YES, False), (NO, True)}, f"{text} at {point}"
