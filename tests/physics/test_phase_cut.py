"""The cut sine: worked values."""

from __future__ import annotations

import math

import pytest
from scipy.integrate import quad  # type: ignore[import-untyped]

from compat.physics.phase_cut import rms_share


@pytest.mark.parametrize(
    ("supply", "angle", "volts", "power"),
    [
        (120.0, 90.0, 84.85, 0.5),  # WE-01
        (230.0, 45.0, 219.3, 0.909),  # WE-02
        (230.0, 120.0, 101.7, 0.1955),  # WE-04
        (120.0, 150.0, 20.38, 0.0288),  # WE-05
    ],
)
def test_worked_values(supply: float, angle: float, volts: float, power: float) -> None:
    assert supply * rms_share(angle) == pytest.approx(volts, rel=5e-3)
    assert rms_share(angle) ** 2 == pytest.approx(power, rel=5e-3)


def test_against_the_integral() -> None:
    for angle in (0.0, 1.0, 77.0, 90.0, 135.0, 173.0, 175.0, 179.0, 179.99):
        start = math.radians(angle)
        area = quad(lambda turn: math.sin(turn) ** 2, start, math.pi, epsabs=0.0, epsrel=1e-12)[0]
        assert rms_share(angle) == pytest.approx(math.sqrt(2.0 / math.pi * area), rel=1e-9)


def test_ends() -> None:
    assert rms_share(0.0) == 1.0
    assert rms_share(180.0) == 0.0


@pytest.mark.parametrize("bad", [-1e-9, 180.1, math.nan, math.inf])
def test_a_value_out_of_range_is_told(bad: float) -> None:
    with pytest.raises(ValueError, match=r"firing_angle_degree is .*from 0 up to 180"):
        rms_share(bad)
