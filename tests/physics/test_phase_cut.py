"""The cut sine: worked values and both forms."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import quad  # type: ignore[import-untyped]

from compat.physics.phase_cut import (
    PHASE_CUT,
    firing_angle_of,
    rms_share,
    rms_voltage_v,
    step_voltage_v,
)
from tests.physics.columns import ROWS, assert_same, assert_unknown_stays_unknown, computed


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
    assert rms_voltage_v(supply, angle) == pytest.approx(volts, rel=5e-3)
    assert rms_share(angle) ** 2 == pytest.approx(power, rel=5e-3)


@pytest.mark.parametrize(("angle", "volts"), [(90.0, 325.3), (45.0, 230.0), (30.0, 162.6)])
def test_step_at_switching_on(angle: float, volts: float) -> None:
    assert step_voltage_v(230.0, angle) == pytest.approx(volts, rel=5e-3)  # WE-06


def test_against_the_integral() -> None:
    for angle in (0.0, 1.0, 77.0, 90.0, 135.0, 173.0, 175.0, 179.0, 179.99):
        start = math.radians(angle)
        area = quad(lambda turn: math.sin(turn) ** 2, start, math.pi, epsabs=0.0, epsrel=1e-12)[0]
        assert rms_share(angle) == pytest.approx(math.sqrt(2.0 / math.pi * area), rel=1e-9)


def test_ends() -> None:
    assert rms_share(0.0) == 1.0
    assert rms_share(180.0) == 0.0
    assert step_voltage_v(230.0, 180.0) == pytest.approx(0.0, abs=1e-10)
    assert firing_angle_of(135.0) == 45.0


def test_query_equals_the_reference() -> None:
    generator = np.random.default_rng(71)
    angle = generator.uniform(0.0, 180.0, ROWS)
    angle[:5] = [0.0, 90.0, 180.0, 179.999, 174.27]
    angle[5:20_000] = generator.uniform(170.0, 180.0, 19_995)
    voltage = generator.uniform(1.0, 1000.0, ROWS)
    found = computed(PHASE_CUT, {"voltage_v": voltage, "firing_angle_degree": angle})
    rest = 2.0 * np.radians(180.0 - angle)
    # Odd terms of t - sin(t), so that small conduction angles keep their digits.
    series = sum((-1) ** (k + 1) * rest ** (2 * k + 1) / math.factorial(2 * k + 1) for k in range(1, 20))
    share = np.sqrt(np.where(rest > 1.0, rest - np.sin(rest), series) / (2.0 * np.pi))
    assert_same(found["rms_share"], share)
    assert_same(found["rms_voltage_v"], voltage * share)
    step = voltage * np.sqrt(2.0) * np.sin(np.radians(angle))
    inner = angle < 179.9
    assert_same(found["step_voltage_v"][inner], step[inner])
    for at in range(0, ROWS, 97):
        assert rms_share(float(angle[at])) == pytest.approx(share[at], rel=1e-9)


def test_unknown_stays_unknown() -> None:
    assert_unknown_stays_unknown(PHASE_CUT, {"voltage_v": 230.0, "firing_angle_degree": 60.0})


@pytest.mark.parametrize("bad", [-1e-9, 180.1, math.nan, math.inf])
def test_a_value_out_of_range_is_told(bad: float) -> None:
    with pytest.raises(ValueError, match=r"firing_angle_degree is .*from 0 up to 180"):
        rms_share(bad)
    with pytest.raises(ValueError, match="voltage_v is"):
        rms_voltage_v(-1.0, 90.0)
    with pytest.raises(ValueError, match="conduction_angle_degree is"):
        firing_angle_of(bad)
