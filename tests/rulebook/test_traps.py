"""Traps of databases and of binary fractions, each shown to be there and shown not to catch a rule."""

from __future__ import annotations

import math
from decimal import Decimal

import duckdb
import pytest

from compat.dataset.read import Dataset
from compat.model.rule import Case
from compat.model.values import Content, Interval
from compat.model.vocabulary import Vocabulary
from compat.rulebook.cases import outcome_of
from compat.rulebook.evaluator import TOLERANCE
from compat.rulebook.expression import ExpressionError
from compat.rulebook.rules import ParsedRule
from compat.rulebook.truth import EITHER, NO, UNKNOWN, YES
from tests.rulebook.parts import (
    clause_truths,
    ends,
    exact,
    reader,
    truths,
)

A, B = "circuit.input_power_w", "output.max_load_w"


def both_ways(text: str, rows: list[dict[str, Content]], vocabulary: Vocabulary) -> list[int]:
    tree = reader(vocabulary).truth(text)
    found = truths(tree, rows, vocabulary)
    assert clause_truths(tree, rows, vocabulary) == found
    return found


def one(sql: str) -> object:
    with duckdb.connect(":memory:") as connection:
        return connection.execute(f"SELECT {sql}").fetchall()[0][0]


def test_a_conjunction_is_not_true_over_an_unknown(vocabulary: Vocabulary) -> None:
    """``bool_and`` skips what is not known; a rule never does."""
    assert one("(SELECT bool_and(v) FROM (VALUES (true), (NULL)) t(v))") is True
    names = ("output.needs_neutral", "circuit.neutral_at_control")
    rows: list[dict[str, Content]] = [{names[0]: True, names[1]: None}, {names[0]: None, names[1]: True}]
    assert both_ways(" and ".join(names), rows, vocabulary) == [UNKNOWN, UNKNOWN]


def test_least_and_greatest_do_not_skip_an_unknown(vocabulary: Vocabulary) -> None:
    assert one("greatest(1.0, NULL)") == 1.0
    rows: list[dict[str, Content]] = [{A: exact(1.0), B: None}, {A: None, B: exact(1.0)}]
    for text in (f"max({A}, {B}) <= w(5)", f"min({A}, {B}) <= w(5)"):
        assert both_ways(text, rows, vocabulary) == [UNKNOWN, UNKNOWN]


def test_not_a_number_is_not_greater(vocabulary: Vocabulary) -> None:
    assert one("'nan'::DOUBLE > 0.2") is True
    rows: list[dict[str, Content]] = [{A: exact(math.nan)}]
    assert both_ways(f"{A} > w(0.2)", rows, vocabulary) == [UNKNOWN]
    assert both_ways(f"{A} <= w(0.2)", rows, vocabulary) == [UNKNOWN]


def test_sums_of_decimal_fractions_meet_their_limit(vocabulary: Vocabulary) -> None:
    """0.1 + 0.2 exceeds 0.3 in binary; the tolerance is for that and for no more."""
    assert 0.1 + 0.2 > 0.3
    assert one("0.1 + 0.2 <= 0.3") is True
    assert one("0.1::DOUBLE + 0.2::DOUBLE <= 0.3::DOUBLE") is False
    rows: list[dict[str, Content]] = [
        {A: exact(0.1 + 0.2), B: exact(0.3)},
        {A: exact(0.3), B: exact(0.1 + 0.2)},
    ]
    assert both_ways(f"{A} <= {B}", rows, vocabulary) == [YES, YES]
    assert both_ways(f"{A} == {B}", rows, vocabulary) == [YES, YES]
    assert both_ways(f"{A} < {B}", rows, vocabulary) == [NO, NO]
    assert both_ways("w(0.1) + w(0.2) <= w(0.3)", rows, vocabulary) == [YES, YES]


@pytest.mark.parametrize("limit", [1e-9, 0.3, 1.0, 230.0, 1e9])
def test_the_tolerance_is_a_share_of_the_limit(limit: float, vocabulary: Vocabulary) -> None:
    steps = (1 - 2 * TOLERANCE, 1 + TOLERANCE / 2, 1 + 2 * TOLERANCE)
    rows: list[dict[str, Content]] = [{A: exact(limit * step), B: exact(limit)} for step in steps]
    assert both_ways(f"{A} <= {B}", rows, vocabulary) == [YES, YES, NO]


def test_at_a_limit_of_zero_there_is_no_tolerance(vocabulary: Vocabulary) -> None:
    rows: list[dict[str, Content]] = [{A: exact(0.0), B: exact(0.0)}, {A: exact(5e-324), B: exact(0.0)}]
    assert both_ways(f"{A} <= {B}", rows, vocabulary) == [YES, NO]


def test_a_literal_is_a_double(vocabulary: Vocabulary) -> None:
    """A bare 0.1 is a decimal to the database; ours reach it as the very double that Python has."""
    assert one("typeof(0.1)") == "DECIMAL(2,1)"
    assert one("0.1") == Decimal("0.1")
    for text in (
        "0.1",
        "1e-9",
        "123456789.987654321",
        "0.30000000000000004",
        "5e-324",
        "1e12",
        "2.2250738585072014e-308",
    ):
        tree = reader(vocabulary).quantity(text)
        assert ends(tree, [{}], vocabulary) == [(float(text), float(text))]


def test_whole_numbers_divide_like_fractions(vocabulary: Vocabulary) -> None:
    tree = reader(vocabulary).quantity("1 / 3")
    assert ends(tree, [{}], vocabulary) == [(1 / 3, 1 / 3)]
    with pytest.raises(ExpressionError, match="allowed arithmetic"):
        reader(vocabulary).quantity("1 // 3")


def test_division_by_zero_is_not_known(vocabulary: Vocabulary) -> None:
    assert one("1::DOUBLE / 0::DOUBLE") == math.inf
    rows: list[dict[str, Content]] = [{A: exact(1.0), B: exact(0.0)}, {A: exact(0.0), B: exact(0.0)}]
    for operator in ("<=", ">=", "<", ">", "==", "!="):
        found = both_ways(f"{A} / {B} {operator} 1000", rows, vocabulary)
        assert found == [UNKNOWN, UNKNOWN], operator
    assert both_ways("1 / 0 > 1", rows, vocabulary) == [UNKNOWN, UNKNOWN]


def test_an_overflow_is_not_known(vocabulary: Vocabulary) -> None:
    rows: list[dict[str, Content]] = [{A: exact(1e300), B: exact(1e300)}]
    for text in (f"{A} * {A} * {A} > {B} * {B} * {B}", f"{A} * {B} / {B} <= {A}"):
        assert both_ways(text, rows, vocabulary) == [UNKNOWN]


def test_nothing_is_rounded_before_it_is_compared(vocabulary: Vocabulary) -> None:
    """Databases round 2.5 to 3 and Python to 2; 2.5 W against 2 W is broken whatever the text says."""
    assert one("round(2.5::DOUBLE)") == 3.0
    assert round(2.5) == 2
    pairs = [(2.5, 2.0), (2.5, 3.0), (20.0004, 20.0), (19.9996, 20.0), (0.125, 0.12)]
    rows: list[dict[str, Content]] = [{A: exact(load), B: exact(limit)} for load, limit in pairs]
    assert both_ways(f"{A} <= {B}", rows, vocabulary) == [NO, YES, NO, YES, NO]


def test_an_end_on_the_limit_is_marginal_only_when_the_other_is_past_it(vocabulary: Vocabulary) -> None:
    rows: list[dict[str, Content]] = [
        {A: Interval(19.0, 20.0), B: exact(20.0)},
        {A: Interval(20.0, 20.0004), B: exact(20.0)},
        {A: Interval(20.0004, 21.0), B: exact(20.0)},
    ]
    assert both_ways(f"{A} <= {B}", rows, vocabulary) == [YES, EITHER, NO]


@pytest.mark.parametrize("text", ["12,5", "w(12,5)", "0-10", "10 w", "100 w max", "1.2.3", "1e", "20 awg"])
def test_ways_of_writing_a_figure_that_are_misread_elsewhere_are_refused(
    text: str, vocabulary: Vocabulary
) -> None:
    """A decimal comma, a unit behind the figure and the like; ``0-10`` is arithmetic and without a unit."""
    with pytest.raises(ExpressionError):
        reader(vocabulary).truth(f"{A} <= {text}")


def test_every_rule_without_any_value_is_unproven_or_does_not_apply(
    dataset: Dataset, rules: list[ParsedRule]
) -> None:
    """An unknown never turns into a pass: with nothing known no rule works and none is broken."""
    case = Case(name="nothing is known", kind="missing", given={}, expect="unproven")
    outcomes = {rule.rule.slug: outcome_of(rule, case, dataset.vocabulary) for rule in rules}
    assert set(outcomes.values()) == {"unproven"}, outcomes
