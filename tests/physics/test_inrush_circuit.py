"""Circuits: sources and drivers as intervals, mixed drivers and hot restart."""

from __future__ import annotations

import math

import numpy as np
import pytest

from compat.model.values import Interval
from compat.physics.inrush import DriverInput, group_loop, pulse
from compat.physics.inrush_circuit import (
    SINE_ALLOWANCE,
    Candidates,
    Group,
    SourceRange,
    StatedPulse,
    candidates_of,
    circuit_pulse,
    worth_keeping,
)
from tests.physics import references, simulations

CREST = 325.27
SOURCE = SourceRange(Interval(0.3, 0.8), Interval(5e-5, 2e-4))


def exactly(value: float) -> Interval:
    return Interval(value, value)


def group(resistance: float, capacitance: float, count: int = 1) -> Group:
    return Group(Candidates((DriverInput(resistance, capacitance),)), count)


def test_one_group_has_its_corners() -> None:
    found = circuit_pulse(Interval(300.0, 350.0), SOURCE, [group(2.0, 22e-6, 10)])
    driver = DriverInput(2.0, 22e-6)
    strong = pulse(350.0, group_loop(0.3, 5e-5, driver, 10))
    weak = pulse(298.0, group_loop(0.8, 2e-4, driver, 10))
    assert found.peak_a.high == strong.peak_a
    assert found.i2t_a2s.high == pytest.approx(strong.i2t_a2s, rel=1e-12)
    assert found.width_s == Interval(strong.width_s, weak.width_s)
    assert 0.9 * weak.peak_a < found.peak_a.low < weak.peak_a
    assert 0.8 * weak.i2t_a2s < found.i2t_a2s.low < weak.i2t_a2s


def test_hot_restart_only_raises_the_high_ends() -> None:
    cold = circuit_pulse(exactly(CREST), SOURCE, [group(5.0, 47e-6, 5)])
    hot = circuit_pulse(exactly(CREST), SOURCE, [group(5.0, 47e-6, 5)], hot_restart=True)
    bare = pulse(CREST, group_loop(0.3, 5e-5, DriverInput(0.0, 47e-6), 5))
    assert hot.peak_a == Interval(cold.peak_a.low, bare.peak_a)
    assert hot.i2t_a2s.low == cold.i2t_a2s.low
    assert hot.i2t_a2s.high == pytest.approx(bare.i2t_a2s, rel=1e-12)
    assert bare.peak_a > 1.5 * cold.peak_a.high


def test_a_known_source_brackets_the_true_pulse_of_any_number() -> None:
    generator = np.random.default_rng(31)
    for _ in range(500):
        driver = DriverInput(
            float(10 ** generator.uniform(-1, 1.3)), float(10 ** generator.uniform(-6, -3.7))
        )
        test = float(generator.uniform(0.3, 1.0)), float(10 ** generator.uniform(-4.5, -3.4))
        seen = pulse(CREST, group_loop(*test, driver, 1))
        one = SourceRange(exactly(test[0]), exactly(test[1]))
        found = candidates_of(StatedPulse(exactly(seen.peak_a), exactly(seen.width_s), CREST, one))
        assert found.outcomes == {"fits"}
        assert len(found.drivers) == 1
        assert found.drivers[0].capacitance_f == pytest.approx(driver.capacitance_f, rel=1e-9)


def test_hidden_test_sources_stay_inside_the_range() -> None:
    generator = np.random.default_rng(32)
    low, high = (0.3, 30e-6), (1.0, 400e-6)
    unknown = SourceRange(Interval(low[0], high[0]), Interval(low[1], high[1]))
    for _ in range(600):
        driver = DriverInput(
            float(10 ** generator.uniform(-1, 1.3)), float(10 ** generator.uniform(-6, -3.5))
        )
        test = (
            float(generator.uniform(low[0], high[0])),
            float(10 ** generator.uniform(math.log10(low[1]), math.log10(high[1]))),
        )
        seen = pulse(CREST, group_loop(*test, driver, 1))
        found = candidates_of(StatedPulse(exactly(seen.peak_a), exactly(seen.width_s), CREST, unknown))
        count = int(generator.choice([1, 3, 10, 50]))
        installed = float(generator.uniform(0.1, 1.0)), float(10 ** generator.uniform(-4.7, -3.2))
        true = pulse(CREST, group_loop(*installed, driver, count))
        here = SourceRange(exactly(installed[0]), exactly(installed[1]))
        bounds = circuit_pulse(exactly(CREST), here, [Group(found, count)])
        assert bounds.peak_a.low <= true.peak_a <= bounds.peak_a.high * (1.0 + 1e-9)
        assert bounds.i2t_a2s.low <= true.i2t_a2s <= bounds.i2t_a2s.high * (1.0 + 1e-9)


def test_an_impossible_statement_gives_the_bounding_driver_and_says_so() -> None:
    stated = StatedPulse(exactly(100.0), exactly(20e-6), CREST, SourceRange(exactly(0.5), exactly(4e-4)))
    found = candidates_of(stated)
    assert found.bounding
    assert found.outcomes == {"infeasible"}
    bounds = circuit_pulse(exactly(CREST), SOURCE, [Group(found, 3)])
    assert bounds.peak_a.low == bounds.i2t_a2s.low == bounds.width_s.low == 0.0
    assert bounds.peak_a.high > 0.0


def test_candidates_between_others_are_dropped_without_changing_the_range() -> None:
    generator = np.random.default_rng(33)
    drivers = [
        DriverInput(float(10 ** generator.uniform(-1, 1)), float(10 ** generator.uniform(-6, -4)))
        for _ in range(60)
    ]
    kept = worth_keeping(drivers)
    assert len(kept) < 30
    both = [
        circuit_pulse(exactly(CREST), SOURCE, [Group(Candidates(tuple(some)), 7)]) for some in (drivers, kept)
    ]
    assert both[0].peak_a == both[1].peak_a
    assert both[0].i2t_a2s == both[1].i2t_a2s


def test_mixed_drivers_lie_between_the_bounds() -> None:
    generator = np.random.default_rng(34)
    count = 60
    source_resistance = 10 ** generator.uniform(-1, 0.2, count)
    source_inductance = 10 ** generator.uniform(-4.4, -3.2, count)
    resistance = 10 ** generator.uniform(-0.5, 1.2, (count, 3))
    capacitance = 10 ** generator.uniform(-5.7, -3.8, (count, 3))
    true = simulations.mixed_pulse(CREST, source_resistance, source_inductance, resistance, capacitance)
    for index in range(count):
        source = SourceRange(
            exactly(float(source_resistance[index])), exactly(float(source_inductance[index]))
        )
        groups = [
            group(float(ohm), float(farad))
            for ohm, farad in zip(resistance[index], capacitance[index], strict=True)
        ]
        bounds = circuit_pulse(exactly(CREST), source, groups)
        assert bounds.peak_a.low <= true.peak_a[index] <= bounds.peak_a.high * 1.0001
        assert bounds.i2t_a2s.low <= true.i2t_a2s[index] <= bounds.i2t_a2s.high * 1.001
        assert bounds.width_s.low <= true.width_s[index] * 1.01
        assert true.width_s[index] <= bounds.width_s.high * 1.01


@pytest.mark.parametrize("frequency", [50.0, 60.0])
def test_the_step_is_above_the_sine_by_no_more_than_the_allowance(frequency: float) -> None:
    generator = np.random.default_rng(35)
    count = 1500
    resistance = 10 ** generator.uniform(-0.7, 1.5, count)
    inductance = 10 ** generator.uniform(-4.7, -3.0, count)
    capacitance = 10 ** generator.uniform(-6.2, -2.6, count)
    crest = np.full(count, CREST)
    step = references.pulse(crest, resistance, inductance, capacitance)
    sine = simulations.sine_waves(
        crest, resistance, inductance, capacitance, np.full(count, 90.0), frequency_hz=frequency
    )
    at_crest = sine.peak()
    peak_ratio, i2t_ratio = step["peak_a"] / at_crest, step["i2t_a2s"] / sine.i2t()
    assert peak_ratio.min() > 1.0 - 1e-4
    assert i2t_ratio.min() > 1.0 - 1e-3
    assert (step["width_s"] / sine.width()).min() > 1.0 - 1e-2
    last = 0.0
    for width, peak_allowance, i2t_allowance in SINE_ALLOWANCE:
        rows = (step["width_s"] > last) & (step["width_s"] <= width)
        assert rows.sum() > 10
        assert peak_ratio[rows].max() <= peak_allowance
        assert i2t_ratio[rows].max() <= i2t_allowance
        last = width


def test_no_closing_instant_passes_the_peak_of_the_step() -> None:
    generator = np.random.default_rng(36)
    count = 150
    resistance = 10 ** generator.uniform(-0.7, 1.0, count)
    inductance = 10 ** generator.uniform(-4.0, -3.0, count)
    capacitance = 10 ** generator.uniform(-5.0, -2.8, count)
    crest = np.full(count, CREST)
    step = references.pulse(crest, resistance, inductance, capacitance)["peak_a"]
    for angle in np.linspace(5.0, 175.0, 18):
        sine = simulations.sine_waves(crest, resistance, inductance, capacitance, np.full(count, angle))
        assert (sine.peak() <= step * (1.0 + 1e-9)).all()


def test_ends_in_the_wrong_order_are_refused() -> None:
    with pytest.raises(ValueError, match="the low end comes first"):
        circuit_pulse(Interval(350.0, 300.0), SOURCE, [group(1.0, 1e-5)])


def test_an_empty_circuit_is_refused() -> None:
    with pytest.raises(ValueError, match="at least one group"):
        circuit_pulse(exactly(CREST), SOURCE, [])
    with pytest.raises(ValueError, match="a group at least one candidate"):
        circuit_pulse(exactly(CREST), SOURCE, [Group(Candidates(()), 1)])
