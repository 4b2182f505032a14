"""Numbers as people read them: nothing is lost that could change a reader's mind."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from compat.model.figures import amount_text, digits_to_tell_apart, margin_text, number_text

FINITE = st.floats(allow_nan=False, allow_infinity=False, min_value=-1e12, max_value=1e12)


@pytest.mark.parametrize(
    ("number", "text"),
    [
        (0, "0"),
        (-0.0, "0"),
        (20, "20"),
        (12.5, "12.5"),
        (2 / 3, "0.6667"),
        (9.99996, "10"),
        (-4.25, "-4.25"),
        (0.0001, "0.0001"),
        (12345.6, "12346"),
        (250000, "250000"),
        (0.00001234, "1.234e-5"),
        (2.5e9, "2.5e9"),
    ],
)
def test_number_text(number: float, text: str) -> None:
    assert number_text(number) == text


@pytest.mark.parametrize("number", [math.nan, math.inf, -math.inf])
def test_a_number_that_is_not_finite_is_refused(number: float) -> None:
    with pytest.raises(ValueError, match="not a finite number"):
        number_text(number)


@pytest.mark.parametrize(
    ("low", "high", "symbol", "text"),
    [
        (38, 42, "W", "38 to 42 W"),
        (20, 20, "W", "20 W"),
        (None, None, "W", "not known"),
        (math.nan, math.nan, "W", "not known"),
        (20, None, "W", "at least 20 W"),
        (None, 42, "W", "at most 42 W"),
        (20, math.inf, "mA", "at least 20 mA"),
        (3, 3, "", "3"),
        (90, 120, "°", "90 to 120°"),
        (1, 1, "%", "1 %"),
        (20, 20.00004, "W", "20 to 20.00004 W"),
        (0.3, 0.1 + 0.2, "W", "0.3 W"),
    ],
)
def test_amount_text(low: float | None, high: float | None, symbol: str, text: str) -> None:
    assert amount_text(low, high, symbol) == text


def test_a_demand_just_past_its_limit_does_not_read_as_equal_to_it() -> None:
    digits = digits_to_tell_apart(20.0004, 20.0, None)
    assert amount_text(20.0004, 20.0004, "W", digits) == "20.0004 W"
    assert digits_to_tell_apart(20.0, 20.0) == digits_to_tell_apart(12.0, None) == 4


@pytest.mark.parametrize(
    ("margin", "relation", "text"),
    [
        (12.5, "at_most", "12.5 % spare"),
        (-45.0, "at_least", "45 % short"),
        (-8.04, "at_most", "8.04 % over"),
        (0.0, "at_least", "at the limit"),
        (None, "at_most", ""),
        (math.nan, "at_most", ""),
    ],
)
def test_margin_text(margin: float | None, relation: str, text: str) -> None:
    assert margin_text(margin, relation) == text  # type: ignore[arg-type]


@given(FINITE)
def test_the_text_of_a_number_is_near_the_number(number: float) -> None:
    assert math.isclose(float(number_text(number)), number, rel_tol=5.01e-4)


@given(FINITE, FINITE)
def test_ends_told_apart_read_in_order(first: float, second: float) -> None:
    low, high = min(first, second), max(first, second)
    ends = [float(end) for end in amount_text(low, high, "").split(" to ")]
    assert ends == sorted(ends)
    if not math.isclose(low, high, rel_tol=1e-9):
        assert len(ends) == 2
        assert ends[0] < ends[1]
