"""The inverse: round trips, what cannot be, bounds when the test source is not known."""

from __future__ import annotations

import math

import numpy as np
import pytest

from compat.physics.inrush import DriverInput, group_loop, pulse, relative_peak, relative_width
from compat.physics.inrush_inverse import (
    LEAST_RATIO,
    STATED,
    bounding_driver,
    damping_of_ratio,
    damping_of_share,
    fit_driver,
)
from tests.physics import references
from tests.physics.columns import spread

CREST = 325.27


def hidden(count: int, seed: int) -> dict[str, np.ndarray]:
    generator = np.random.default_rng(seed)
    return {
        "resistance": spread(generator, 0.1, 100.0, count),
        "capacitance": spread(generator, 0.5e-6, 316e-6, count),
        "source_resistance": generator.uniform(0.2, 1.0, count),
        "source_inductance": spread(generator, 20e-6, 800e-6, count),
    }


def stated(rows: dict[str, np.ndarray]) -> dict[str, np.ndarray]:
    total = rows["resistance"] + rows["source_resistance"]
    crest = np.full(len(total), CREST)
    found = references.pulse(crest, total, rows["source_inductance"], rows["capacitance"])
    return {
        "stated_peak_a": found["peak_a"],
        "stated_width_s": found["width_s"],
        "test_crest_v": crest,
        "test_resistance_ohm": rows["source_resistance"],
        "test_inductance_h": rows["source_inductance"],
    }


def test_round_trip() -> None:
    rows = hidden(3000, 22)
    asked = stated(rows)
    for index, values in enumerate(zip(*asked.values(), strict=True)):
        fit = fit_driver(*map(float, values))
        assert fit.outcome == "fits"
        assert fit.driver is not None
        assert fit.driver.capacitance_f == pytest.approx(rows["capacitance"][index], rel=1e-9)
        total = fit.driver.resistance_ohm + rows["source_resistance"][index]
        assert total == pytest.approx(rows["resistance"][index] + rows["source_resistance"][index], rel=1e-9)


def test_a_clamped_fit_meets_the_peak_and_is_never_shorter() -> None:
    generator = np.random.default_rng(24)
    clamped = 0
    for _ in range(2000):
        driver = DriverInput(float(generator.uniform(0.0, 0.1)), float(10 ** generator.uniform(-6, -4)))
        true = pulse(CREST, group_loop(0.5, 1e-4, driver, 1))
        peak, width = true.peak_a * generator.uniform(0.97, 1.1), true.width_s * generator.uniform(0.98, 1.05)
        fit = fit_driver(float(peak), float(width), CREST, 0.7, 1e-4)
        if fit.outcome == "clamped":
            clamped += 1
            assert fit.driver is not None
            assert fit.driver.resistance_ohm == 0.0
            again = pulse(CREST, group_loop(0.7, 1e-4, fit.driver, 1))
            assert again.peak_a == pytest.approx(peak, rel=1e-9)
            assert again.width_s >= width * (1.0 - 1e-9)
    assert clamped > 200


def test_a_pulse_that_no_driver_gives_is_told() -> None:
    peak = 100.0
    inductance = 1e-4
    shortest = LEAST_RATIO * inductance * peak / CREST
    assert fit_driver(peak, shortest * 1.0001, CREST, 0.0, inductance).outcome == "fits"
    assert fit_driver(peak, shortest * 0.9999, CREST, 0.0, inductance).outcome == "infeasible"
    beyond = fit_driver(CREST / 0.8 * 1.01, 1e-3, CREST, 0.8, 1e-5)
    assert beyond.outcome == "infeasible"
    assert beyond.driver is None


def test_the_ratio_rises_so_there_is_one_answer() -> None:
    damping = np.concatenate([np.linspace(0.0, 3.0, 3000), np.geomspace(3.01, 1e4, 1000)])
    top = references.time_to_peak(damping)
    ratio = references.width(damping) / np.exp(-damping * top)
    assert (np.diff(ratio) > 0.0).all()
    assert ratio[0] == pytest.approx(LEAST_RATIO, rel=1e-12)
    shares = 2.0 * damping * np.exp(-damping * top)
    assert (np.diff(shares) > 0.0).all()
    for at in (1, 100, 1000, 3500):
        assert damping_of_ratio(float(ratio[at])) == pytest.approx(damping[at], abs=1e-12, rel=1e-9)
        if shares[at] < 0.999:
            assert damping_of_share(float(shares[at])) == pytest.approx(damping[at], rel=1e-9)
    with pytest.raises(ValueError, match="ratio is 2"):
        damping_of_ratio(2.0)
    with pytest.raises(ValueError, match="share is 1"):
        damping_of_share(1.0)


def test_the_bounding_driver_is_never_below_the_true_one() -> None:
    generator = np.random.default_rng(25)
    for _ in range(2000):
        driver = DriverInput(
            float(10 ** generator.uniform(-1.5, 1.5)), float(10 ** generator.uniform(-6.3, -3.5))
        )
        test = float(generator.uniform(0.2, 1.0)), float(10 ** generator.uniform(-5, -3))
        seen = pulse(CREST, group_loop(*test, driver, 1))
        bound = bounding_driver(seen.peak_a, seen.width_s, CREST)
        assert bound.capacitance_f >= driver.capacitance_f * (1.0 - 1e-12)
        for count in (1, 10, 50):
            true = pulse(CREST, group_loop(0.3, 5e-5, driver, count))
            most = pulse(CREST, group_loop(0.3, 5e-5, bound, count))
            assert most.peak_a >= true.peak_a * (1.0 - 1e-12)
            assert most.i2t_a2s >= true.i2t_a2s * (1.0 - 1e-12)


def test_noise_of_a_tenth_moves_the_peak_of_ten_drivers_little() -> None:
    generator = np.random.default_rng(26)
    errors = []
    for _ in range(1500):
        driver = DriverInput(
            float(10 ** generator.uniform(-0.5, 1.2)), float(10 ** generator.uniform(-6, -4))
        )
        seen = pulse(CREST, group_loop(0.8, 1e-4, driver, 1))
        true = pulse(CREST, group_loop(0.8, 1e-4, driver, 10))
        fit = fit_driver(
            float(seen.peak_a * generator.uniform(0.9, 1.1)),
            float(seen.width_s * generator.uniform(0.9, 1.1)),
            CREST,
            0.8,
            1e-4,
        )
        if fit.driver is not None:
            errors.append(pulse(CREST, group_loop(0.8, 1e-4, fit.driver, 10)).peak_a / true.peak_a - 1.0)
    low, high = np.quantile(errors, [0.05, 0.95])
    assert -0.1 < low < -0.02
    assert 0.02 < high < 0.12


def test_relative_width_over_peak_at_critical_damping() -> None:
    ratio = relative_width(1.0) / relative_peak(1.0)
    assert damping_of_ratio(ratio) == pytest.approx(1.0, rel=1e-12)


@pytest.mark.parametrize("name", list(STATED))
@pytest.mark.parametrize("bad", [-1.0, math.nan, math.inf])
def test_a_value_out_of_range_is_told(name: str, bad: float) -> None:
    good = dict(zip(STATED, (50.0, 2e-4, CREST, 0.8, 1e-4), strict=True))
    with pytest.raises(ValueError, match=f"{name} is .*allowed is"):
        fit_driver(**{**good, name: bad})
