"""Leakage, ghosting and bypass: worked values and both forms."""

from __future__ import annotations

import math

import numpy as np
import pytest

from compat.model.values import Interval
from compat.physics.leakage import (
    BYPASS,
    GHOSTING,
    LEAKAGE,
    bypass,
    cable_coupled_current_a,
    capacitive_current_a,
    ghosting,
)
from tests.physics.columns import ROWS, assert_same, assert_unknown_stays_unknown, computed, one_row, spread


@pytest.mark.parametrize(
    ("volts", "hertz", "farad", "milliampere"),
    [(230, 50, 10e-9, 0.723), (120, 60, 10e-9, 0.452), (230, 50, 100e-9, 7.23), (120, 60, 100e-9, 4.52)],
)
def test_worked_values(volts: float, hertz: float, farad: float, milliampere: float) -> None:
    assert capacitive_current_a(volts, hertz, farad) * 1e3 == pytest.approx(milliampere, rel=5e-3)  # WE-50


def test_cable_coupling_of_fifty_metres() -> None:
    found = [cable_coupled_current_a(230.0, 50.0, 50.0, each) * 1e3 for each in (100e-12, 150e-12)]
    assert found == pytest.approx([0.36, 0.54], rel=0.01)


def test_ghosting() -> None:
    assert ghosting(Interval(1e-3, 2e-3), Interval(2e-3, 3e-3)) == "stays_off"
    assert ghosting(Interval(4e-3, 5e-3), Interval(2e-3, 3e-3)) == "ghosts"
    assert ghosting(Interval(1e-3, 2.1e-3), Interval(2e-3, 3e-3)) == "cannot_tell"
    assert ghosting(Interval(0.0, 0.0), None) == "cannot_tell"


def test_a_bypass_keeps_the_lamp_below_its_start() -> None:
    found = bypass(2e-3, 40.0, 230.0, 50.0)
    assert found.resistance_ohm == pytest.approx(20_000.0)
    assert found.resistor_power_w == pytest.approx(2.645)
    assert found.resistance_ohm * 2e-3 == pytest.approx(40.0)
    reactance = 1.0 / (2.0 * math.pi * 50.0 * found.capacitance_f)
    assert reactance * 2e-3 == pytest.approx(40.0)
    assert found.capacitor_current_a == pytest.approx(capacitive_current_a(230.0, 50.0, found.capacitance_f))


def test_queries_equal_the_reference() -> None:
    generator = np.random.default_rng(101)
    volts, hertz = generator.uniform(1.0, 1000.0, ROWS), generator.uniform(16.0, 70.0, ROWS)
    farad, metre, each = (
        spread(generator, 1e-12, 1e-3),
        spread(generator, 0.1, 1e4),
        spread(generator, 1e-12, 1e-8),
    )
    found = computed(
        LEAKAGE,
        {
            "voltage_v": volts,
            "frequency_hz": hertz,
            "capacitance_f": farad,
            "length_m": metre,
            "capacitance_f_per_m": each,
        },
    )
    assert_same(found["capacitive_current_a"], 2.0 * np.pi * volts * hertz * farad)
    assert_same(found["cable_coupled_current_a"], 2.0 * np.pi * volts * hertz * metre * each)
    ampere, start = spread(generator, 1e-6, 10.0), volts * generator.uniform(0.11, 0.999, ROWS)
    start = np.maximum(start, 0.1)
    asked = {
        "off_state_current_a": ampere,
        "lamp_starts_at_v": start,
        "voltage_v": volts,
        "frequency_hz": hertz,
    }
    cure = computed(BYPASS, asked)
    assert_same(cure["bypass_resistance_ohm"], start / ampere)
    assert_same(cure["bypass_resistor_power_w"], volts**2 * ampere / start)
    assert_same(cure["bypass_capacitance_f"], ampere / (2.0 * np.pi * hertz * start))
    assert_same(cure["bypass_capacitor_current_a"], ampere * volts / start)
    for at in range(0, ROWS, 499):
        plain = bypass(*(float(column[at]) for column in asked.values()))
        assert plain.resistance_ohm == pytest.approx(cure["bypass_resistance_ohm"][at], rel=1e-12)
        assert plain.resistor_power_w == pytest.approx(cure["bypass_resistor_power_w"][at], rel=1e-12)
        assert plain.capacitance_f == pytest.approx(cure["bypass_capacitance_f"][at], rel=1e-12)
        assert plain.capacitor_current_a == pytest.approx(cure["bypass_capacitor_current_a"][at], rel=1e-12)
        coupled = (
            cable_coupled_current_a(*(float(column[at]) for column in (volts, hertz, metre, each)))
            if (metre[at] * each[at] <= 1e-3)
            else None
        )
        if coupled is not None:
            assert coupled == pytest.approx(found["cable_coupled_current_a"][at], rel=1e-12)


def test_ghosting_query_equals_the_plain_form() -> None:
    generator = np.random.default_rng(102)
    off, tolerated = (
        np.sort(spread(generator, 1e-5, 0.1, 2 * ROWS).reshape(2, ROWS), axis=0) for _ in range(2)
    )
    off[1, :100] = tolerated[0, :100]
    off[0, :100] = 0.0
    found = computed(
        GHOSTING,
        {
            "off_state_current_low_a": off[0],
            "off_state_current_high_a": off[1],
            "tolerated_current_low_a": tolerated[0],
            "tolerated_current_high_a": tolerated[1],
        },
    )["ghosting"]
    expected = np.where(
        off[1] <= tolerated[0], "stays_off", np.where(off[0] > tolerated[1], "ghosts", "cannot_tell")
    )
    assert (found == expected).all()
    assert (expected[:100] == "stays_off").all()
    for at in range(0, ROWS, 211):
        plain = ghosting(
            Interval(float(off[0, at]), float(off[1, at])),
            Interval(float(tolerated[0, at]), float(tolerated[1, at])),
        )
        assert plain == expected[at]


def test_unknown_stays_unknown() -> None:
    good = {
        "voltage_v": 230.0,
        "frequency_hz": 50.0,
        "capacitance_f": 1e-8,
        "length_m": 50.0,
        "capacitance_f_per_m": 1e-10,
    }
    assert_unknown_stays_unknown(LEAKAGE, good)
    assert_unknown_stays_unknown(
        BYPASS,
        {"off_state_current_a": 1e-3, "lamp_starts_at_v": 40.0, "voltage_v": 230.0, "frequency_hz": 50.0},
    )
    assert_unknown_stays_unknown(
        GHOSTING,
        {
            "off_state_current_low_a": 1e-4,
            "off_state_current_high_a": 1e-3,
            "tolerated_current_low_a": 2e-3,
            "tolerated_current_high_a": 3e-3,
        },
    )
    assert one_row(
        BYPASS, off_state_current_a=1e-3, lamp_starts_at_v=230.0, voltage_v=230.0, frequency_hz=50.0
    ) == dict.fromkeys(BYPASS.outputs)


@pytest.mark.parametrize("bad", [-1.0, math.nan, math.inf])
def test_a_value_out_of_range_is_told(bad: float) -> None:
    with pytest.raises(ValueError, match="capacitance_f is"):
        capacitive_current_a(230.0, 50.0, bad)
    with pytest.raises(ValueError, match="length_m is"):
        cable_coupled_current_a(230.0, 50.0, bad, 1e-10)
    with pytest.raises(ValueError, match="off_state_current_a"):
        ghosting(Interval(bad, bad), None)
    with pytest.raises(ValueError, match="tolerated_current_a"):
        ghosting(Interval(0.0, 0.0), Interval(bad, bad))
    with pytest.raises(ValueError, match="off_state_current_a is"):
        bypass(bad, 40.0, 230.0, 50.0)
    with pytest.raises(ValueError, match="it must be below the supply"):
        bypass(1e-3, 230.0, 230.0, 50.0)
