"""The functions of the damping ratio against a root finder and closed forms that they do not use."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import brentq  # type: ignore[import-untyped]

from compat.physics.inrush import (
    MOST_DAMPING,
    Loop,
    pulse,
    relative_peak,
    relative_time_to_peak,
    relative_width,
)


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


def dampings(count: int) -> list[float]:
    """Even steps and even ratios, both ends, and the neighbourhood of critical damping."""
    near = np.geomspace(1e-15, 0.1, 60)
    parts = (np.linspace(0.0, 50.0, count), np.geomspace(1e-9, MOST_DAMPING, count), 1.0 - near, 1.0 + near)
    return [1.0, *(float(value) for part in parts for value in part)]


def test_width_against_a_root_finder() -> None:
    for damping in dampings(500):
        # The width is within 1e-13, a root of double precision within about 1e-14.
        assert relative_width(damping) == pytest.approx(width(damping), rel=2e-13), damping


def test_time_to_peak_and_peak_against_the_closed_forms() -> None:
    for damping in dampings(2000):
        expected = instant_of_peak(damping)
        assert relative_time_to_peak(damping) == pytest.approx(expected, rel=5e-14), damping
        assert relative_peak(damping) == pytest.approx(math.exp(-damping * expected), rel=1e-13), damping


def test_i2t_against_the_closed_form() -> None:
    """A loop of R = 2 zeta/512 ohm, 1/512 H and 512 F at 1/512 V has w0 = 1 and V/Z0 = 1."""
    for damping in (0.0, *np.geomspace(1e-11, 1.0 - 1e-9, 2000), *np.geomspace(1.0, MOST_DAMPING, 500)):
        zeta = float(damping)
        if zeta == 0.0:
            expected = math.pi / 2.0
        elif zeta < 1.0:
            turn = 2.0 * math.pi * zeta / math.sqrt((1.0 - zeta) * (1.0 + zeta))
            expected = -math.expm1(-turn) / (4.0 * zeta)
        else:
            expected = 1.0 / (4.0 * zeta)
        found = pulse(1.0 / 512.0, Loop(2.0 * zeta / 512.0, 1.0 / 512.0, 512.0))
        assert found.i2t_a2s == pytest.approx(expected, rel=5e-14), zeta
