"""Interval arithmetic: hand-made tables, and what is not a finite number is not known."""

from __future__ import annotations

import math
import sys

import pytest

from compat.model.values import Content, Interval
from compat.model.vocabulary import Vocabulary
from compat.rulebook.truth import UNKNOWN
from tests.rulebook.parts import (
    Ends,
    clause_truths,
    ends,
    exact,
    reader,
    truths,
)

A, B = "circuit.input_power_w", "circuit.standby_power_w"
NOT_KNOWN: Ends = (None, None)
LARGEST = sys.float_info.max
TABLE: list[tuple[str, Content, Content, Ends]] = [
    (f"{A} + {B}", Interval(1.0, 2.0), Interval(10.0, 20.0), (11.0, 22.0)),
    (f"{A} - {B}", Interval(1.0, 2.0), Interval(10.0, 20.0), (-19.0, -8.0)),
    (f"{A} - {A}", Interval(1.0, 2.0), None, (-1.0, 1.0)),
    (f"{A} * {B}", Interval(2.0, 3.0), Interval(10.0, 20.0), (20.0, 60.0)),
    (f"{A} * {B}", Interval(-2.0, 3.0), Interval(10.0, 20.0), (-40.0, 60.0)),
    (f"{A} * {B}", Interval(-2.0, 3.0), Interval(-5.0, 4.0), (-15.0, 12.0)),
    (f"{A} * {B}", Interval(-3.0, -2.0), Interval(-5.0, -4.0), (8.0, 15.0)),
    (f"{A} * {B}", Interval(0.0, 0.0), Interval(10.0, 20.0), (0.0, 0.0)),
    (f"{A} / {B}", Interval(20.0, 30.0), Interval(2.0, 5.0), (4.0, 15.0)),
    (f"{A} / {B}", Interval(-20.0, 30.0), Interval(2.0, 5.0), (-10.0, 15.0)),
    (f"{A} / {B}", Interval(20.0, 30.0), Interval(-5.0, -2.0), (-15.0, -4.0)),
    (f"{A} / {B}", Interval(20.0, 30.0), Interval(-1.0, 1.0), NOT_KNOWN),
    (f"{A} / {B}", Interval(20.0, 30.0), Interval(0.0, 1.0), NOT_KNOWN),
    (f"{A} / {B}", Interval(20.0, 30.0), Interval(-1.0, 0.0), NOT_KNOWN),
    (f"{A} / {B}", Interval(20.0, 30.0), exact(0.0), NOT_KNOWN),
    (f"{A} / {B}", exact(0.0), exact(0.0), NOT_KNOWN),
    (f"{A} / {B}", Interval(20.0, 30.0), exact(-0.0), NOT_KNOWN),
    (f"{A} / {B}", exact(0.0), Interval(1.0, 2.0), (0.0, 0.0)),
    (f"{A} / {B}", exact(1.0), exact(5e-324), NOT_KNOWN),
    (f"{A} / {A}", Interval(1.0, 2.0), None, (0.5, 2.0)),
    (f"{A} + {B}", exact(LARGEST), exact(LARGEST), NOT_KNOWN),
    (f"{A} * {B}", exact(LARGEST), exact(2.0), NOT_KNOWN),
    (f"{A} * {B}", Interval(1.0, LARGEST), exact(2.0), NOT_KNOWN),
    (f"{A} - {B}", exact(-LARGEST), exact(LARGEST), NOT_KNOWN),
    (f"{A} * {B}", exact(1e-300), exact(1e-300), (0.0, 0.0)),
    (f"min({A}, {B})", Interval(1.0, 4.0), Interval(2.0, 3.0), (1.0, 3.0)),
    (f"max({A}, {B})", Interval(1.0, 4.0), Interval(2.0, 3.0), (2.0, 4.0)),
    (f"max({A}, w(2))", Interval(1.0, 4.0), None, (2.0, 4.0)),
    (f"min({A}, {B})", exact(1.0), None, NOT_KNOWN),
    (f"max({A}, {B})", exact(1.0), None, NOT_KNOWN),
    (f"2 * {A}", Interval(1.0, 4.0), None, (2.0, 8.0)),
    (f"{A} / 4", Interval(1.0, 4.0), None, (0.25, 1.0)),
    (f"{A} + {B}", exact(1.0), None, NOT_KNOWN),
    (f"{A} - {B}", None, exact(1.0), NOT_KNOWN),
    (f"{A} * {B}", None, exact(0.0), NOT_KNOWN),
    (f"{A} / {B}", None, exact(1.0), NOT_KNOWN),
    (A, Interval(3.0, 2.0), None, NOT_KNOWN),
    (A, Interval(-LARGEST, LARGEST), None, (-LARGEST, LARGEST)),
]


@pytest.mark.parametrize(("text", "left", "right", "expected"), TABLE)
def test_arithmetic(
    text: str,
    left: Content,
    right: Content,
    expected: Ends,
    vocabulary: Vocabulary,
) -> None:
    tree, rows = reader(vocabulary).quantity(text), [{A: left, B: right}]
    assert ends(tree, rows, vocabulary) == [expected]


BAD_ENDS = [
    Interval(math.nan, math.nan),
    Interval(1.0, math.nan),
    Interval(math.nan, 1.0),
    Interval(math.inf, math.inf),
    Interval(1.0, math.inf),
    Interval(-math.inf, 1.0),
    Interval(-math.inf, math.inf),
    None,
]
CONDITIONS = [f"{A} {operator} w(10)" for operator in ("<=", "<", ">=", ">", "==", "!=")]
CONDITIONS += [f"w(10) {operator} {A}" for operator in ("<=", "<", ">=", ">")]
CONDITIONS += [
    f"{A} <= {A}",
    f"{A} - {A} <= w(1)",
    f"{A} * 0 <= w(1)",
    f"{A} / {A} <= 2",
    f"max({A}, w(1)) > w(0)",
]
CONDITIONS += [f"min({A}, w(1)) <= w(1)", f"{A} + w(1) > w(0)", f"not ({A} > w(10))"]


@pytest.mark.parametrize("text", CONDITIONS)
def test_what_is_no_number_never_holds_and_never_breaks(text: str, vocabulary: Vocabulary) -> None:
    tree, rows = reader(vocabulary).truth(text), [{A: bad} for bad in BAD_ENDS]
    assert truths(tree, rows, vocabulary) == [UNKNOWN] * len(rows)
    assert clause_truths(tree, rows, vocabulary) == [UNKNOWN] * len(rows)


def test_a_value_of_the_wrong_kind_is_not_known(vocabulary: Vocabulary) -> None:
    tree = reader(vocabulary).truth(f"{A} <= w(10) or output.needs_neutral")
    rows: list[dict[str, Content]] = [{A: "dali", "output.needs_neutral": "dali"}, {A: True}, {}]
    assert truths(tree, rows, vocabulary) == [UNKNOWN] * 3
    assert clause_truths(tree, rows, vocabulary) == [UNKNOWN] * 3
