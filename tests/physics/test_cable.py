"""Conductors and drops: published values."""

from __future__ import annotations

import math

import pytest

from compat.physics.cable import (
    CLASS_1_2,
    control_line_rise_v,
    drop_at_end_v,
    drop_spread_v,
    resistance_at,
)


def test_hundred_metre_loop_of_2_5_mm2() -> None:
    assert drop_at_end_v(CLASS_1_2[2.5], 100.0, 1.0) == pytest.approx(1.482)  # WE-28


def test_1_5_mm2_at_70_degrees() -> None:
    assert resistance_at(12.1, 70.0) == pytest.approx(14.52)  # WE-29
    assert resistance_at(12.1, 70.0, "copper") == pytest.approx(12.1 * 1.1965, rel=1e-6)


@pytest.mark.parametrize(
    ("celsius", "factor"),
    [
        (5, 1.064), (10, 1.042), (20, 1.000), (25, 0.980), (30, 0.962), (50, 0.893),
        (60, 0.862), (70, 0.833), (75, 0.820), (90, 0.781),
    ],
)  # fmt: skip
def test_temperature_factors_of_the_standard(celsius: float, factor: float) -> None:
    assert 1.0 / resistance_at(1.0, celsius) == pytest.approx(factor, abs=6e-4)  # WE-30


def test_long_run_of_the_published_example() -> None:
    # WE-34: 200 ft, loop 0.001308 ohm/ft, 1.04 A.
    ohm_per_km = 0.001308 / 2.0 / 0.3048 * 1000.0
    assert drop_at_end_v(ohm_per_km, 200.0 * 0.3048, 1.04) == pytest.approx(0.272, rel=5e-3)


def test_millivolt_per_ampere_and_metre() -> None:
    assert drop_at_end_v(9.0, 40.0, 10.0) == pytest.approx(7.20)  # WE-36: 18 mV/A/m
    for ohm, ampere, metre in ((14.5, 6.0, 39.7), (14.5, 10.0, 23.8), (9.0, 10.0, 38.3)):
        assert drop_at_end_v(ohm, metre, ampere) == pytest.approx(6.9, rel=5e-3)  # WE-37


@pytest.mark.parametrize(
    ("square", "millivolt"), [(1.0, 44), (1.5, 29), (2.5, 18), (4.0, 11), (6.0, 7.3), (10.0, 4.4)]
)
def test_tabulated_drops_are_the_standard_resistance_at_70_degrees(square: float, millivolt: float) -> None:
    ohm = resistance_at(CLASS_1_2[square], 70.0)
    assert drop_at_end_v(ohm, 1.0, 1.0) * 1000.0 == pytest.approx(millivolt, rel=0.015)


def test_ten_luminaires_at_equal_pitch() -> None:
    by_piece = sum(drop_at_end_v(14.5, 5.0, 0.2 * beyond) for beyond in range(10, 0, -1))
    assert by_piece == pytest.approx(1.595, rel=5e-3)  # WE-69


def test_many_points_tend_to_a_spread_load() -> None:
    points = sum(drop_at_end_v(14.5, 0.05, 0.004 * beyond) for beyond in range(1000, 0, -1))
    assert points == pytest.approx(drop_spread_v(14.5, 50.0, 4.0), rel=2e-3)


def test_control_line_rise() -> None:
    # 100 m of 0.5 mm2 pair, 50 drivers sourcing 0.5 mA.
    assert control_line_rise_v(36.0, 100.0, 50 * 0.5e-3) == pytest.approx(0.18)


@pytest.mark.parametrize("bad", [-1e6, math.nan, math.inf])
def test_a_value_out_of_range_is_told(bad: float) -> None:
    with pytest.raises(ValueError, match="temperature_celsius is"):
        resistance_at(12.1, bad)
    with pytest.raises(ValueError, match="rule is 'gold'"):
        resistance_at(12.1, 20.0, "gold")  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="length_m is"):
        drop_at_end_v(12.1, bad, 1.0)
    with pytest.raises(ValueError, match="control_current_a is"):
        control_line_rise_v(36.0, 10.0, bad)
