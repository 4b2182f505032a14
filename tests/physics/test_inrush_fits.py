"""The fitted functions of the query against a root finder and closed forms that it does not use.

A loop of R = 2 zeta/512 ohm, 1/512 H and 512 F at 1/512 V has w0 = 1, Z0 = 1/512 and V/Z0 = 1, so the
outputs of the query are the functions of the damping ratio zeta themselves, without any rounding.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.optimize import brentq  # type: ignore[import-untyped]

from compat.physics.inrush import MOST_DAMPING, relative_width
from compat.physics.inrush_sql import (
    CENTRE,
    FITTED_TO,
    LITTLE_DAMPING,
    PLACE_AT_INFINITY,
    PLACE_SPAN,
    PULSE,
    WIDTH_BELOW,
)
from tests.physics.columns import assert_same, computed

Array = NDArray[np.float64]


def found_at(damping: Array) -> dict[str, Array]:
    part = np.full_like(damping, 1.0 / 512.0)
    rows = {
        "crest_v": part,
        "resistance_ohm": 2.0 * damping * part,
        "inductance_h": part,
        "capacitance_f": 1.0 / part,
    }
    found = computed(PULSE, rows)
    assert (found["damping_ratio"] == damping).all()
    return found


def instant_of_peak(damping: float) -> float:
    """acos(zeta)/b; up to zeta = 2 by the half angle, which has no cancellation at zeta = 1."""
    if damping > 2.0:
        return math.acosh(damping) / math.sqrt((damping - 1.0) * (damping + 1.0))
    tangent = math.sqrt(abs(1.0 - damping) / (1.0 + damping))
    if tangent == 0.0:
        return 1.0
    angle = math.atan(tangent) if damping < 1.0 else math.atanh(tangent)
    return 2.0 * angle / ((1.0 + damping) * tangent)


def current(damping: float, instant: float) -> float:
    root = math.sqrt(abs((1.0 - damping) * (1.0 + damping)))
    if root == 0.0:
        return instant * math.exp(-instant)
    if damping < 1.0:
        return math.exp(-damping * instant) * math.sin(root * instant) / root
    slow = 1.0 / (damping + root)
    return math.exp(-slow * instant) * -math.expm1(-2.0 * root * instant) / (2.0 * root)


def width(damping: float) -> float:
    top = instant_of_peak(damping)
    half = current(damping, top) / 2.0
    end = 4.0 * (1.0 + damping)
    if damping < 1.0:
        end = min(end, math.pi / math.sqrt((1.0 - damping) * (1.0 + damping)))
    finest = {"xtol": 1e-300, "rtol": 8.9e-16, "maxiter": 500}
    rise = brentq(lambda at: current(damping, at) - half, 0.0, top, **finest)
    fall = brentq(lambda at: current(damping, at) - half, top, end, **finest)
    return float(fall - rise)


def dampings(low: float, high: float, count: int) -> Array:
    """Even steps and even ratios, both ends, and the neighbourhood of critical damping."""
    near = np.geomspace(1e-15, 0.1, 60)
    critical = np.concatenate([[1.0], 1.0 - near, 1.0 + near]) if low <= 1.0 <= high else np.empty(0)
    even = np.linspace(low, min(high, low + 50.0), count)
    return np.concatenate([even, np.geomspace(max(low, 1e-9), high, count), critical])


@pytest.mark.parametrize(("low", "high"), [(0.0, FITTED_TO), (math.nextafter(FITTED_TO, 9.0), 1e8)])
def test_width_against_a_root_finder(low: float, high: float) -> None:
    damping = dampings(low, high, 700)
    expected = np.array([width(float(value)) for value in damping])
    # The fit itself is within 1.1e-13, a root of double precision within about 1e-14.
    assert_same(found_at(damping)["width_s"], expected, 2e-13)


def test_width_against_the_plain_form_over_the_whole_range() -> None:
    damping = np.concatenate([dampings(0.0, FITTED_TO, 8000), dampings(FITTED_TO, MOST_DAMPING, 8000)])
    expected = np.array([relative_width(float(value)) for value in damping])
    assert_same(found_at(damping)["width_s"], expected, 4e-13)


def test_time_to_peak_and_peak_against_the_closed_forms() -> None:
    damping = np.concatenate([dampings(0.0, FITTED_TO, 8000), dampings(FITTED_TO, MOST_DAMPING, 8000)])
    found = found_at(damping)
    expected = np.array([instant_of_peak(float(value)) for value in damping])
    assert_same(found["time_to_peak_s"], expected, 5e-14)
    assert_same(found["peak_a"], np.exp(-damping * expected), 1e-13)


def test_i2t_against_the_closed_form_on_both_sides_of_little_damping() -> None:
    damping = np.concatenate(
        [LITTLE_DAMPING * np.array([1.0, 1.0 + 1e-15, 1.0 - 1e-15]), np.geomspace(1e-12, 1.0 - 1e-9, 9000)]
    )
    turn = 2.0 * np.pi * damping / np.sqrt((1.0 - damping) * (1.0 + damping))
    found = found_at(damping)["i2t_a2s"]
    assert_same(found, -np.expm1(-turn) / (4.0 * damping), 5e-14)
    over = np.geomspace(1.0, MOST_DAMPING, 1000)
    assert_same(found_at(over)["i2t_a2s"], 1.0 / (4.0 * over), 1e-15)
    assert_same(found_at(np.zeros(1))["i2t_a2s"], np.array([np.pi / 2.0]), 1e-15)


def test_the_place_runs_from_minus_one_to_one_and_no_pole_is_on_the_way() -> None:
    damping = np.linspace(0.0, FITTED_TO, 20_001)
    place = PLACE_AT_INFINITY - PLACE_SPAN / (np.sqrt(1.0 + damping) + CENTRE)
    assert place[[0, -1]] == pytest.approx([-1.0, 1.0], abs=5e-4)
    below = np.polynomial.polynomial.polyval(place, WIDTH_BELOW)
    assert below.min() > 0.5, "the denominator of the width is near a zero"


def test_the_formulas_meet_where_they_change() -> None:
    before, after = FITTED_TO, math.nextafter(FITTED_TO, 9.0)
    found = found_at(np.array([before, after]))
    for role in ("width_s", "time_to_peak_s", "peak_a"):
        assert found[role][1] == pytest.approx(found[role][0], rel=3e-13), role
        assert found[role][1] != found[role][0], "both sides use one formula; the test shows nothing"
