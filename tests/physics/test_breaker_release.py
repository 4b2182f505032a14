"""The release on short pulses: worked values, the equation of motion, monotony, both forms."""

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
    release_of,
    sine_anchor,
    trip_limit_a,
)
from compat.physics.breaker_release_sql import RELEASE, STRICT_RELEASE
from tests.physics import simulations
from tests.physics.columns import ROWS, assert_same, assert_unknown_stays_unknown, computed, one_row, spread
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
    ratio = np.linspace(1.0, 1.5, 251)
    for milliseconds in (0.2, 0.5, 1.0, 2.0, 3.0, 5.0, 10.0, 20.0):
        for frequency in (50.0, 60.0):
            time = np.full(len(ratio), milliseconds * 1e-3)
            for start in (0.0, 90.0):
                released = simulations.sine_releases(ratio, time, start, frequency)
                least = ratio[np.argmax(released)] if released.any() else 1.5
                assert least - 0.002 <= sine_anchor(milliseconds * 1e-3, frequency) <= least + 0.15
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
    for _ in range(20_000):
        peak, span = float(10 ** generator.uniform(1, 4)), float(10 ** generator.uniform(-5, -2))
        i2t = peak**2 * span
        holds = release_of(C16, Interval(0.0, peak), Interval(0.0, i2t)).verdict == "holds"
        factor = float(generator.uniform(1.0, 2.0))
        more_peak = release_of(C16, Interval(0.0, peak * factor), Interval(0.0, i2t)).verdict == "holds"
        more_i2t = release_of(C16, Interval(0.0, peak), Interval(0.0, i2t * factor)).verdict == "holds"
        assert holds or not (more_peak or more_i2t)
        trips = release_of(C16, Interval(peak, peak), Interval(i2t, i2t)).verdict == "trips"
        less = release_of(C16, Interval(peak / factor, peak), Interval(i2t, i2t)).verdict == "trips"
        assert trips or not less


def test_own_multiples_and_strict() -> None:
    own = Breaker(16.0, 12.0, 14.0, 1e-3, 1.2e-3)
    assert hold_limit_a(own, *pulse_of(300.0, 75e-6)) > 2.5 * hold_limit_a(C16, *pulse_of(300.0, 75e-6))
    found = release_of(own, Interval(3000.0, 3000.0), Interval(900.0, 900.0))
    assert found.verdict == "trips"
    strict = release_of(own, Interval(3000.0, 3000.0), Interval(900.0, 900.0), strict=True)
    assert (strict.verdict, strict.trip_limit_a) == ("cannot_tell", None)
    assert release_of(own, Interval(0.0, 271.0), Interval(0.0, 1e6), strict=True).verdict == "holds"
    assert release_of(own, Interval(0.0, 272.0), Interval(0.0, 1e6), strict=True).verdict == "cannot_tell"


def random_rows(seed: int) -> dict[str, np.ndarray]:
    generator = np.random.default_rng(seed)
    peak = np.sort(np.stack([spread(generator, 0.1, 1e5), spread(generator, 0.1, 1e5)]), axis=0)
    i2t = np.sort(np.stack([spread(generator, 1e-6, 1e6), spread(generator, 1e-6, 1e6)]), axis=0)
    multiples = np.sort(generator.uniform(1.0, 25.0, (2, ROWS)), axis=0)
    times = np.sort(np.stack([spread(generator, 1e-5, 0.02), spread(generator, 1e-5, 0.02)]), axis=0)
    return {
        "peak_low_a": peak[0],
        "peak_high_a": peak[1],
        "i2t_low_a2s": i2t[0],
        "i2t_high_a2s": i2t[1],
        "rated_current_a": spread(generator, 1.0, 125.0),
        "hold_multiple": multiples[0],
        "trip_multiple": multiples[1],
        "shortest_plunger_time_s": times[0],
        "longest_plunger_time_s": times[1],
        "frequency_hz": generator.choice([16.7, 50.0, 60.0], ROWS),
    }


def test_query_equals_the_reference() -> None:
    rows = random_rows(42)
    found = computed(RELEASE, rows)
    crest = np.sqrt(2.0) * rows["rated_current_a"]

    def factor(peak: np.ndarray, i2t: np.ndarray, time: np.ndarray) -> np.ndarray:
        ratio = time / np.clip(i2t / peak**2, 1e-12, 10.0)
        return np.asarray(np.sqrt(0.5 + 0.5 * np.hypot(1.0, np.sqrt(8.0) * ratio)))

    anchor = np.minimum(1.0 + 2.13 * rows["shortest_plunger_time_s"] * rows["frequency_hz"], 1.5)
    held = factor(rows["peak_high_a"], rows["i2t_high_a2s"], rows["shortest_plunger_time_s"]) / anchor
    hold = crest * rows["hold_multiple"] * np.maximum(1.0, held)
    trip = (
        crest
        * rows["trip_multiple"]
        * factor(rows["peak_low_a"], rows["i2t_low_a2s"], rows["longest_plunger_time_s"])
    )
    assert_same(found["hold_limit_a"], hold)
    assert_same(found["trip_limit_a"], trip)
    expected = np.where(
        rows["peak_high_a"] <= hold, "holds", np.where(rows["peak_low_a"] > trip, "trips", "cannot_tell")
    )
    clear = (np.abs(rows["peak_high_a"] / hold - 1) > 1e-9) & (np.abs(rows["peak_low_a"] / trip - 1) > 1e-9)
    assert (found["verdict"] == expected)[clear].all()
    assert min((expected == word).sum() for word in ("holds", "trips", "cannot_tell")) > 1000
    strict = computed(STRICT_RELEASE, rows)
    assert_same(strict["hold_limit_a"], crest * rows["hold_multiple"])
    assert np.ma.getmaskarray(strict["trip_limit_a"]).all()
    assert set(strict["verdict"]) == {"holds", "cannot_tell"}


def test_plain_form_equals_the_query() -> None:
    rows = {name: values[:3000] for name, values in random_rows(43).items()}
    found = computed(RELEASE, rows)
    for index, values in enumerate(zip(*rows.values(), strict=True)):
        low, high, i2t_low, i2t_high, *rest = map(float, values)
        release = release_of(Breaker(*rest), Interval(low, high), Interval(i2t_low, i2t_high))
        assert release.verdict == found["verdict"][index]
        assert release.hold_limit_a == pytest.approx(found["hold_limit_a"][index], rel=1e-12)
        assert release.trip_limit_a == pytest.approx(found["trip_limit_a"][index], rel=1e-12)


GOOD = {
    "peak_low_a": 100.0,
    "peak_high_a": 100.0,
    "i2t_low_a2s": 1.0,
    "i2t_high_a2s": 1.0,
    "rated_current_a": 16.0,
    "hold_multiple": 5.0,
    "trip_multiple": 10.0,
    "shortest_plunger_time_s": 0.5e-3,
    "longest_plunger_time_s": 5e-3,
    "frequency_hz": 50.0,
}


def test_unknown_stays_unknown() -> None:
    assert one_row(RELEASE, **GOOD)["verdict"] == "holds"
    assert_unknown_stays_unknown(RELEASE, GOOD)
    swapped = {**GOOD, "hold_multiple": 11.0}
    assert one_row(RELEASE, **swapped) == {
        "hold_limit_a": None,
        "trip_limit_a": None,
        "verdict": "cannot_tell",
    }


def test_one_known_end_is_enough_for_its_verdict() -> None:
    only_high = one_row(RELEASE, **{**GOOD, "peak_low_a": None, "i2t_low_a2s": None})
    assert only_high["verdict"] == "holds"
    only_low = {**GOOD, "peak_low_a": 1e5, "i2t_low_a2s": 1e4, "peak_high_a": None, "i2t_high_a2s": None}
    assert one_row(RELEASE, **only_low)["verdict"] == "trips"
    assert one_row(RELEASE, **{**GOOD, "peak_low_a": 0.0, "i2t_low_a2s": 0.0})["trip_limit_a"] is None
    assert trip_limit_a(C16, 0.0, 0.0) is None


@pytest.mark.parametrize("bad", [-1.0, math.nan, math.inf])
def test_a_value_out_of_range_is_told(bad: float) -> None:
    for at, name in enumerate(list(RANGES)[4:]):
        values = [16.0, 5.0, 10.0, 0.5e-3, 5e-3, 50.0]
        values[at] = bad
        with pytest.raises(ValueError, match=f"{name} is .*allowed is"):
            hold_limit_a(Breaker(*values), 100.0, 1.0)
    with pytest.raises(ValueError, match="peak_a"):
        release_of(C16, Interval(bad, bad), Interval(1.0, 1.0))
    with pytest.raises(ValueError, match="span_s"):
        pulse_factor(bad, 1e-3)


def test_swapped_ends_are_told() -> None:
    with pytest.raises(ValueError, match=r"trip_multiple 4.0 is below hold_multiple 5.0"):
        hold_limit_a(Breaker(16.0, 5.0, 4.0, 0.5e-3, 5e-3), 100.0, 1.0)
    with pytest.raises(ValueError, match=r"longest_plunger_time_s 0.001 is below"):
        hold_limit_a(Breaker(16.0, 5.0, 10.0, 2e-3, 1e-3), 100.0, 1.0)
