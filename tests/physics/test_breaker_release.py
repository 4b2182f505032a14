"""The release on short pulses: worked values, the equation of motion, monotony."""

from __future__ import annotations

import math

import numpy as np
import pytest

from compat.model.values import Interval
from compat.physics.breaker_release import (
    RANGES,
    Breaker,
    hold_limit_a,
    pulse_factor,
    sine_anchor,
    trip_limit_a,
)
from tests.physics import simulations
from tests.physics.releases import release_of
from tests.physics.simulations import Waves

B16, C16, D16 = (Breaker(16.0, *ends, 0.5e-3, 5e-3) for ends in ((3.0, 5.0), (5.0, 10.0), (10.0, 20.0)))


def pulse_of(peak: float, span_s: float) -> tuple[float, float]:
    return peak, peak**2 * span_s


@pytest.mark.parametrize(("breaker", "amperes"), [(B16, 67.9), (C16, 113.1), (D16, 226.3)])
def test_the_strict_limit_is_the_crest_of_the_lower_multiple(breaker: Breaker, amperes: float) -> None:
    assert hold_limit_a(breaker, 100.0, 1.0, strict=True) == pytest.approx(amperes, rel=1e-3)  # WE-24


@pytest.mark.parametrize(
    ("width_us", "low", "middle", "high", "holds", "trips"),
    [
        (50, 4.18, 6.51, 13.75, 473, 3111),
        (100, 2.99, 4.63, 9.74, 339, 2203),
        (200, 2.17, 3.30, 6.90, 246, 1562),
        (300, 1.82, 2.72, 5.65, 206, 1279),
        (500, 1.49, 2.14, 4.40, 168, 996),
        (1000, 1.19, 1.58, 3.15, 135, 713),
        (2000, 1.03, 1.22, 2.29, 117, 518),
        (6667, 1.00, 1.00, 1.41, 113, 320),
    ],
)
def test_table_of_limits(
    width_us: float, low: float, middle: float, high: float, holds: float, trips: float
) -> None:
    span = 0.75 * width_us * 1e-6
    assert max(1.0, pulse_factor(span, 0.5e-3) / 1.053) == pytest.approx(low, abs=0.006)
    assert max(1.0, pulse_factor(span, 1.5e-3) / 1.159) == pytest.approx(middle, rel=8e-3)
    assert pulse_factor(span, 5e-3) == pytest.approx(high, rel=4e-3)
    assert hold_limit_a(C16, *pulse_of(200.0, span)) == pytest.approx(holds, rel=5e-3)
    assert trip_limit_a(C16, *pulse_of(200.0, span)) == pytest.approx(trips, rel=5e-3)


def test_the_anchor_is_never_below_the_equation_of_motion() -> None:
    ratios, times = np.linspace(1.0, 1.5, 251), np.array([0.2, 0.5, 1.0, 2.0, 3.0, 5.0, 10.0, 20.0]) * 1e-3
    time, ratio = (grid.ravel() for grid in np.meshgrid(times, ratios, indexing="ij"))
    for frequency in (50.0, 60.0):
        for start in (0.0, 90.0):
            found = simulations.sine_releases(ratio, time, start, frequency).reshape(len(times), len(ratios))
            for seconds, released in zip(times, found, strict=True):
                least = ratios[np.argmax(released)] if released.any() else 1.5
                assert least - 0.002 <= sine_anchor(float(seconds), frequency) <= least + 0.15
    assert sine_anchor(0.5e-3, 50.0) == pytest.approx(1.053, abs=1e-3)


def waves(name: str, width_s: float, steps: int = 6000) -> Waves:
    """A pulse of peak 1 and of about this half-peak width; zero after it."""
    if name == "rectangle":
        time = np.linspace(0.0, width_s, steps)
        current = np.ones(steps)
    elif name == "half sine":
        time = np.linspace(0.0, 1.5 * width_s, steps)
        current = np.sin(np.pi * time / time[-1])
    elif name == "triangle":
        time = np.linspace(0.0, 2.0 * width_s, steps)
        current = 1.0 - np.abs(time / width_s - 1.0)
    else:
        time = np.linspace(0.0, 14.0 * width_s, steps)
        current = 2.0 ** (-time / width_s)
    return Waves(time[None, :], current[None, :])


@pytest.mark.parametrize("shape", ["rectangle", "half sine", "triangle", "exponential"])
@pytest.mark.parametrize("plunger_time", [0.5e-3, 1.5e-3, 5e-3])
def test_the_factor_against_the_equation_of_motion(shape: str, plunger_time: float) -> None:
    for width in (20e-6, 100e-6, 500e-6, 2e-3, 6.7e-3):
        one = waves(shape, width)
        span = float(one.i2t()[0])
        factor = np.geomspace(0.7, 1.4, 141) * pulse_factor(span, plunger_time)
        many = Waves(
            np.repeat(one.time_s, 141, axis=0), np.repeat(one.current_a, 141, axis=0) * factor[:, None]
        )
        released = simulations.plunger_releases(many, np.ones(141), np.full(141, plunger_time))
        assert not released[0]
        assert released[-1]
        true = factor[np.argmax(released)]
        ratio = pulse_factor(span, plunger_time) / true
        assert 0.84 < ratio < 1.006, (width, ratio)


def test_rectangular_pulse_by_energy() -> None:
    for ratio in (0.1, 1.0, 30.0):
        square = pulse_factor(1e-3, ratio * 1e-3 if ratio < 20 else 0.02) ** 2
        time = min(ratio, 20.0)
        assert square * (square - 1.0) == pytest.approx(2.0 * time**2, rel=1e-12)


def test_short_pulses_follow_an_i2t() -> None:
    for span in (1e-6, 2e-6, 4e-6):
        assert pulse_factor(span, 0.01) ** 2 * span == pytest.approx(math.sqrt(2.0) * 0.01, rel=1e-3)
    assert pulse_factor(1.0, 0.5e-3) == pytest.approx(1.0, abs=1e-6)


def test_simple_momentum_rule_is_of_the_same_size() -> None:
    # WE-25: sqrt(1 + tau/t) with tau = sqrt(2) T meets the factor for short pulses.
    for span, expected in ((50e-6, 10.05), (200e-6, 5.10)):
        assert math.sqrt(1.0 + 5e-3 / span) == pytest.approx(expected, rel=1e-3)
        assert pulse_factor(span, 5e-3 / math.sqrt(2.0)) == pytest.approx(expected, rel=0.05)


def test_more_peak_or_more_i2t_never_makes_it_hold() -> None:
    generator = np.random.default_rng(41)
    for _ in range(4000):
        peak, span = float(10 ** generator.uniform(1, 4)), float(10 ** generator.uniform(-5, -2))
        i2t = peak**2 * span
        holds = release_of(C16, Interval(0.0, peak), Interval(0.0, i2t)) == "holds"
        factor = float(generator.uniform(1.0, 2.0))
        more_peak = release_of(C16, Interval(0.0, peak * factor), Interval(0.0, i2t)) == "holds"
        more_i2t = release_of(C16, Interval(0.0, peak), Interval(0.0, i2t * factor)) == "holds"
        assert holds or not (more_peak or more_i2t)
        trips = release_of(C16, Interval(peak, peak), Interval(i2t, i2t)) == "trips"
        less = release_of(C16, Interval(peak / factor, peak), Interval(i2t, i2t)) == "trips"
        assert trips or not less


def test_own_multiples_and_strict() -> None:
    own = Breaker(16.0, 12.0, 14.0, 1e-3, 1.2e-3)
    assert hold_limit_a(own, *pulse_of(300.0, 75e-6)) > 2.5 * hold_limit_a(C16, *pulse_of(300.0, 75e-6))
    assert release_of(own, Interval(3000.0, 3000.0), Interval(900.0, 900.0)) == "trips"
    assert 271.0 < hold_limit_a(own, 3000.0, 900.0, strict=True) < 272.0


def test_one_known_end_is_enough_for_its_verdict() -> None:
    assert release_of(C16, Interval(0.0, 100.0), Interval(0.0, 1.0)) == "holds"
    assert release_of(C16, Interval(1e5, 1e7), Interval(1e4, 1e12)) == "trips"
    assert trip_limit_a(C16, 0.0, 0.0) is None


@pytest.mark.parametrize("bad", [-1.0, math.nan, math.inf])
def test_a_value_out_of_range_is_told(bad: float) -> None:
    for at, name in enumerate(list(RANGES)[4:]):
        values = [16.0, 5.0, 10.0, 0.5e-3, 5e-3, 50.0]
        values[at] = bad
        with pytest.raises(ValueError, match=f"{name} is .*allowed is"):
            hold_limit_a(Breaker(*values), 100.0, 1.0)
    with pytest.raises(ValueError, match="peak_high_a"):
        hold_limit_a(C16, bad, 1.0)
    with pytest.raises(ValueError, match="peak_low_a"):
        trip_limit_a(C16, bad, 1.0)
    with pytest.raises(ValueError, match="span_s"):
        pulse_factor(bad, 1e-3)


def test_swapped_ends_are_told() -> None:
    with pytest.raises(ValueError, match=r"trip_multiple 4.0 is below hold_multiple 5.0"):
        hold_limit_a(Breaker(16.0, 5.0, 4.0, 0.5e-3, 5e-3), 100.0, 1.0)
    with pytest.raises(ValueError, match=r"longest_plunger_time_s 0.001 is below"):
        hold_limit_a(Breaker(16.0, 5.0, 10.0, 2e-3, 1e-3), 100.0, 1.0)
