"""Conductors and drops: published values and both forms."""

from __future__ import annotations

import math

import numpy as np
import pytest

from compat.physics.cable import (
    CLASS_1_2,
    POINT_DROP,
    VOLTAGE_DROP,
    control_line_rise_v,
    copper_resistance,
    drop_at_end_v,
    drop_at_points_v,
    drop_spread_v,
    gauge_cross_section_mm2,
    gauge_diameter_mm,
    longest_length_m,
    nominal_resistance,
    resistance_at,
)
from tests.physics.columns import ROWS, assert_same, assert_unknown_stays_unknown, computed, spread


def test_hundred_metre_loop_of_2_5_mm2() -> None:
    assert drop_at_end_v(nominal_resistance(2.5, "class_1_2"), 100.0, 1.0) == pytest.approx(1.482)  # WE-28


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


@pytest.mark.parametrize(
    ("gauge", "millimetre", "square", "ohm"),
    [
        (10, 2.588, 5.261, 3.277), (12, 2.053, 3.309, 5.211), (14, 1.628, 2.081, 8.285),
        (16, 1.291, 1.309, 13.17), (18, 1.024, 0.823, 20.95), (20, 0.812, 0.518, 33.31),
    ],
)  # fmt: skip
def test_wire_gauges(gauge: int, millimetre: float, square: float, ohm: float) -> None:
    assert gauge_diameter_mm(gauge) == pytest.approx(millimetre, abs=6e-4)  # WE-32
    assert gauge_cross_section_mm2(gauge) == pytest.approx(square, abs=6e-4)
    assert copper_resistance(gauge_cross_section_mm2(gauge)) == pytest.approx(ohm, rel=1e-3)


def test_gauges_that_define_the_series() -> None:
    assert gauge_diameter_mm(36) == pytest.approx(0.1270)  # WE-33
    assert gauge_diameter_mm(-3) == pytest.approx(11.684)


def test_long_run_of_the_published_example() -> None:
    # WE-34: 200 ft, loop 0.001308 ohm/ft, 1.04 A.
    ohm_per_km = 0.001308 / 2.0 / 0.3048 * 1000.0
    assert drop_at_end_v(ohm_per_km, 200.0 * 0.3048, 1.04) == pytest.approx(0.272, rel=5e-3)


def test_millivolt_per_ampere_and_metre() -> None:
    assert drop_at_end_v(9.0, 40.0, 10.0) == pytest.approx(7.20)  # WE-36: 18 mV/A/m
    assert longest_length_m(14.5, 6.0, 6.9) == pytest.approx(39.7, rel=5e-3)  # WE-37
    assert longest_length_m(14.5, 10.0, 6.9) == pytest.approx(23.8, rel=5e-3)
    assert longest_length_m(9.0, 10.0, 6.9) == pytest.approx(38.3, rel=5e-3)


@pytest.mark.parametrize(
    ("square", "millivolt"), [(1.0, 44), (1.5, 29), (2.5, 18), (4.0, 11), (6.0, 7.3), (10.0, 4.4)]
)
def test_tabulated_drops_are_the_standard_resistance_at_70_degrees(square: float, millivolt: float) -> None:
    ohm = resistance_at(nominal_resistance(square, "class_1_2"), 70.0)
    assert drop_at_end_v(ohm, 1.0, 1.0) * 1000.0 == pytest.approx(millivolt, rel=0.015)


def test_ten_luminaires_at_equal_pitch() -> None:
    assert drop_at_points_v(14.5, 5.0, 0.2, 10) == pytest.approx(1.595, rel=5e-3)  # WE-69
    by_hand = sum(drop_at_end_v(14.5, 5.0, 0.2 * beyond) for beyond in range(10, 0, -1))
    assert drop_at_points_v(14.5, 5.0, 0.2, 10) == pytest.approx(by_hand, rel=1e-12)


def test_many_points_tend_to_a_spread_load() -> None:
    points = drop_at_points_v(14.5, 50.0 / 1000, 4.0 / 1000, 1000)
    assert points == pytest.approx(drop_spread_v(14.5, 50.0, 4.0), rel=2e-3)


def test_control_line_rise() -> None:
    # 100 m of 0.5 mm2 pair, 50 drivers sourcing 0.5 mA.
    assert control_line_rise_v(36.0, 100.0, 50 * 0.5e-3) == pytest.approx(0.18)


def test_queries_equal_the_reference() -> None:
    generator = np.random.default_rng(111)
    rows = {
        "resistance_20_ohm_per_km": spread(generator, 1e-3, 1000.0),
        "temperature_celsius": generator.uniform(-40.0, 150.0, ROWS),
        "length_m": spread(generator, 1e-3, 1e4),
        "current_a": spread(generator, 1e-6, 1e3),
        "voltage_v": spread(generator, 1.0, 1000.0),
    }
    ohm20, celsius, metre, ampere, volts = rows.values()
    found = computed(VOLTAGE_DROP, rows)
    ohm = ohm20 * (230.0 + celsius) / 250.0
    assert_same(found["resistance_ohm_per_km"], ohm)
    assert_same(found["drop_at_end_v"], ohm * metre * ampere / 500.0)
    assert_same(found["drop_at_end_share"], ohm * metre * ampere / 500.0 / volts)
    assert_same(found["drop_spread_v"], ohm * metre * ampere / 1000.0)
    points = {
        "resistance_ohm_per_km": np.minimum(ohm, 2000.0),
        "pitch_m": metre,
        "current_each_a": ampere,
        "load_count": generator.integers(1, 10_001, ROWS).astype(float),
    }
    reached = computed(POINT_DROP, points)["drop_at_points_v"]
    each, pitch, small, count = points.values()
    assert_same(reached, each * pitch * small * count * (count + 1.0) / 1000.0)
    for at in range(0, ROWS, 499):
        plain = resistance_at(float(ohm20[at]), float(celsius[at]))
        assert plain == pytest.approx(ohm[at], rel=1e-12)
        if plain <= 2000.0:
            assert drop_at_end_v(plain, float(metre[at]), float(ampere[at])) == pytest.approx(
                found["drop_at_end_v"][at], rel=1e-12
            )
        total = drop_at_points_v(float(each[at]), float(pitch[at]), float(small[at]), int(count[at]))
        assert total == pytest.approx(reached[at], rel=1e-12)


def test_unknown_stays_unknown() -> None:
    names = dict(zip(VOLTAGE_DROP.inputs, (12.1, 70.0, 20.0, 3.0, 230.0), strict=True))
    assert_unknown_stays_unknown(VOLTAGE_DROP, names)
    assert_unknown_stays_unknown(
        POINT_DROP, dict(zip(POINT_DROP.inputs, (12.1, 5.0, 0.2, 10.0), strict=True))
    )


@pytest.mark.parametrize("bad", [-1e6, math.nan, math.inf])
def test_a_value_out_of_range_is_told(bad: float) -> None:
    with pytest.raises(ValueError, match="temperature_celsius is"):
        resistance_at(12.1, bad)
    with pytest.raises(ValueError, match="rule is 'gold'"):
        resistance_at(12.1, 20.0, "gold")  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="length_m is"):
        drop_at_end_v(12.1, bad, 1.0)
    with pytest.raises(ValueError, match="load_count is"):
        drop_at_points_v(12.1, 1.0, 1.0, 0)
    with pytest.raises(ValueError, match=r"no table value for 3\.0 mm2"):
        nominal_resistance(3.0, "class_1_2")
    with pytest.raises(ValueError, match="class_9"):
        nominal_resistance(1.5, "class_9")  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="gauge is"):
        gauge_diameter_mm(41)
    with pytest.raises(ValueError, match="must both be above 0"):
        longest_length_m(12.1, 0.0, 6.9)
    with pytest.raises(ValueError, match="drop_v is"):
        longest_length_m(12.1, 1.0, bad)
    with pytest.raises(ValueError, match="control_current_a is"):
        control_line_rise_v(36.0, 10.0, bad)
    with pytest.raises(ValueError, match="cross_section_mm2 is"):
        copper_resistance(bad)


def test_both_tables_have_the_same_sizes() -> None:
    for square, ohm in CLASS_1_2.items():
        assert nominal_resistance(square, "class_5") > ohm
