"""The pulse of several kinds behind one source, against the closed form, SciPy and a hidden choke."""

from __future__ import annotations

import math
import random

import pytest
from scipy.integrate import solve_ivp  # type: ignore[import-untyped]

from compat.engine.inrush_of_circuit import hidden_choke
from compat.physics.inrush import DriverInput, group_loop, pulse
from compat.physics.inrush_inverse import fit_driver
from compat.physics.inrush_mixed import mixed_pulse

CREST = 325.27


@pytest.mark.parametrize(("ohm", "farad", "count"), [(10.0, 47e-6, 4), (1.0, 22e-6, 10), (3.0, 33e-6, 1)])
def test_one_kind_is_the_closed_form(ohm: float, farad: float, count: int) -> None:
    driver = DriverInput(ohm, farad)
    exact = pulse(CREST, group_loop(0.4, 200e-6, driver, count))
    found = mixed_pulse(CREST, 0.4, 200e-6, [(driver, count)])
    assert found is not None
    assert found.peak_a == pytest.approx(exact.peak_a, rel=2e-3)
    assert found.i2t_a2s == pytest.approx(exact.i2t_a2s, rel=1e-2)
    assert found.width_s == pytest.approx(exact.width_s, rel=5e-2)


def simulated(ohm: float, henry: float, groups: list[tuple[DriverInput, int]]) -> tuple[float, float]:
    """Peak and heating with a diode of 0.01 ohm ahead of each branch and an inductor of 1 nH in it."""
    branches = [(d.resistance_ohm / n, d.capacitance_f * n) for d, n in groups]

    def slope(_: float, state: list[float]) -> list[float]:
        current, voltages = state[0], state[1:-1]
        low, high = min(voltages) - 1.0, CREST * 3.0
        for _step in range(80):
            bus = (low + high) / 2.0
            taken = sum(max(bus - v, 0.0) / r for v, (r, _c) in zip(voltages, branches, strict=True))
            low, high = (bus, high) if taken < current else (low, bus)
        flows = [max(bus - v, 0.0) / r for v, (r, _c) in zip(voltages, branches, strict=True)]
        rates = [flow / c for flow, (_r, c) in zip(flows, branches, strict=True)]
        return [(CREST - ohm * current - bus) / henry, *rates, current**2]

    def ended(_: float, state: list[float]) -> float:
        return state[0] if state[-1] > 1e-6 else 1.0

    ended.terminal = True  # type: ignore[attr-defined]
    ended.direction = -1  # type: ignore[attr-defined]
    start = [0.0] * (len(branches) + 2)
    run = solve_ivp(slope, (0.0, 0.02), start, events=ended, rtol=1e-6, atol=1e-6, max_step=5e-6)
    return float(max(run.y[0])), float(run.y[-1][-1])


MIXED = (
    ((0.4, 200e-6), [(DriverInput(10.0, 47e-6), 6), (DriverInput(2.0, 10e-6), 10)]),
    (
        (0.2, 100e-6),
        [(DriverInput(5.0, 22e-6), 4), (DriverInput(33.0, 8e-6), 20), (DriverInput(1.0, 4e-6), 8)],
    ),
)


@pytest.mark.parametrize(("source", "groups"), MIXED)
def test_29a_mixed_groups_against_an_independent_integration(
    source: tuple[float, float], groups: list[tuple[DriverInput, int]]
) -> None:
    """Within 1 % of SciPy with the bus found by halving, and well below the sum of the parts."""
    peak, heating = simulated(*source, groups)
    found = mixed_pulse(CREST, *source, groups)
    assert found is not None
    assert found.peak_a == pytest.approx(peak, rel=1e-2)
    assert found.i2t_a2s == pytest.approx(heating, rel=2e-2)
    parts = [pulse(CREST, group_loop(*source, one, many)) for one, many in groups]
    assert found.peak_a < 0.85 * sum(part.peak_a for part in parts)
    assert found.i2t_a2s < sum(math.sqrt(part.i2t_a2s) for part in parts) ** 2


def test_a_small_pulse_beside_a_branch_of_high_resistance() -> None:
    """Between what the quick branch draws alone and what both draw, each alone; of SciPy within 1 %."""
    source = (0.7076, 294.8e-6)
    groups = [(DriverInput(5.7285, 0.56568e-6), 2), (DriverInput(324.585, 22.17e-6), 1)]
    peak, heating = simulated(*source, groups)
    found = mixed_pulse(CREST, *source, groups)
    assert found is not None
    assert found.peak_a == pytest.approx(peak, rel=1e-2)
    assert found.i2t_a2s == pytest.approx(heating, rel=5e-2)
    alone, slow = (pulse(CREST, group_loop(*source, one, many)).peak_a for one, many in groups)
    assert alone <= found.peak_a <= alone + slow


def test_17c_a_hidden_choke_stays_below_the_allowance() -> None:
    """2,000 loops with 130 uH to 1 mH in the driver that the fit knows nothing of."""
    chance = random.Random(5)
    looked_at = 0
    for _ in range(2000):
        driver = DriverInput(
            10 ** chance.uniform(-0.3, 1.5), 10 ** chance.uniform(-5.5, -4), 10 ** chance.uniform(-3.9, -3)
        )
        ohm, henry = chance.uniform(0.3, 1.0), chance.uniform(30e-6, 400e-6)
        stated = pulse(CREST, group_loop(ohm, henry, driver, 1))
        fit = fit_driver(stated.peak_a, stated.width_s, CREST, ohm, henry)
        if fit.driver is None:
            continue
        looked_at += 1
        here = (ohm * chance.uniform(0.05, 1.0), henry * chance.uniform(0.1, 1.0))
        count = chance.choice((1, 2, 5, 20, 50))
        true = pulse(CREST, group_loop(*here, driver, count))
        told = pulse(CREST, group_loop(*here, fit.driver, count))
        more, hotter = hidden_choke(count)
        assert told.peak_a * more >= true.peak_a
        assert told.i2t_a2s * hotter >= true.i2t_a2s
    assert looked_at > 500
