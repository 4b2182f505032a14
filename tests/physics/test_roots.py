"""The bracketed root against SciPy's, and ranges."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import brentq  # type: ignore[import-untyped]

from compat.physics.ranges import Range
from compat.physics.roots import bracketed_root


@pytest.mark.parametrize(
    ("function", "low", "high"),
    [
        (lambda x: x**3 - 2.0, 0.0, 5.0),
        (lambda x: math.exp(x) - 1e6, 0.0, 100.0),
        (lambda x: math.cos(x) - x, 0.0, 1.0),
        (lambda x: (x - 1.0) ** 9, 0.0, 1.7),
        (lambda x: math.tanh(1e4 * (x - 0.3)), 0.0, 1.0),
        (lambda x: 1.0 / x - 1e-8, 1.0, 1e12),
    ],
)
def test_against_another_solver(function, low: float, high: float) -> None:  # type: ignore[no-untyped-def]
    expected = brentq(function, low, high, xtol=1e-300, rtol=1e-15, maxiter=1000)
    # The ninefold root is flat to the last digit over a hundredth.
    assert bracketed_root(function, low, high) == pytest.approx(
        expected, rel=1e-12, abs=2e-2 * (low + high == 1.7)
    )


def test_few_calls() -> None:
    calls = []

    def function(value: float) -> float:
        calls.append(value)
        return value**3 - 2.0

    bracketed_root(function, 0.0, 100.0)
    assert len(calls) < 25


def test_root_at_an_end_and_no_root() -> None:
    assert bracketed_root(lambda x: x, 0.0, 1.0) == 0.0
    assert bracketed_root(lambda x: x - 1.0, 0.0, 1.0) == 1.0
    with pytest.raises(ValueError, match="same sign"):
        bracketed_root(lambda x: x + 1.0, 0.0, 1.0)


def test_ranges() -> None:
    closed, half_open = Range(0.0, 1.0), Range(0.0, 1.0, low_allowed=False)
    assert closed.holds(0.0)
    assert closed.holds(1.0)
    assert not half_open.holds(0.0)
    assert not closed.holds(float(np.nextafter(1.0, 2.0)))
    for bad in (math.nan, math.inf, -math.inf):
        assert not Range(-math.inf, math.inf).holds(bad)
    with pytest.raises(ValueError, match=r"x is 2.0; allowed is a number above 0 up to 1"):
        half_open.check("x", 2.0)
