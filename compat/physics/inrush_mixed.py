"""Several kinds of drivers switched on together: the pulse of the whole circuit as one loop.

One source (R, L) feeds branches of series resistance and capacitor, each behind a bridge that lets
current in only; the voltage is held at the crest. Behind one source the kinds share the current, so the
peak is well below the sum of what each would draw alone. Source: Kirchhoff's laws, integrated by the
classical Runge-Kutta formula; derived here and checked against circuit simulation in the tests.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from compat.physics.inrush import RANGES, DriverInput
from compat.physics.ranges import check_all

STEPS_A_PERIOD = 60
MOST_STEPS = 1500
# A branch with less resistance is taken to have this much; what that takes from the peak of a
# circuit is far below the rounding of any figure of a datasheet.
LEAST_BRANCH_OHM = 0.01


@dataclass(frozen=True, slots=True)
class MixedPulse:
    """Peak (A), I2t (A2s) and width above half the peak (s) of the first pulse."""

    peak_a: float
    i2t_a2s: float
    width_s: float


def mixed_pulse(
    crest_v: float, resistance_ohm: float, inductance_h: float, groups: Sequence[tuple[DriverInput, int]]
) -> MixedPulse | None:
    """The pulse of groups of equal drivers behind one source, switched on at a held crest.

    Volts, ohm, henry; each group is a driver and its count. None where the time constants lie so far
    apart that the steps would be too many, and where the source has no inductance. Raises ValueError
    for a value out of range.
    """
    branches = [
        (max(driver.resistance_ohm / count, LEAST_BRANCH_OHM), driver.capacitance_f * count)
        for driver, count in groups
    ]
    return _of_branches(crest_v, resistance_ohm, inductance_h, tuple(branches))


@lru_cache(maxsize=1024)
def _of_branches(
    crest_v: float, resistance_ohm: float, inductance_h: float, branches: tuple[tuple[float, float], ...]
) -> MixedPulse | None:
    check_all(RANGES, crest_v=crest_v, source_resistance_ohm=resistance_ohm, source_inductance_h=inductance_h)
    if inductance_h <= 0.0 or not branches:
        return None
    total = sum(capacitance for _, capacitance in branches)
    period = 2.0 * math.pi * math.sqrt(inductance_h * total)
    longest = max(period, 6.0 * total * (resistance_ohm + 1.0 / sum(1.0 / r for r, _ in branches)))
    fastest = min(r * c for r, c in branches)
    step = min(period / STEPS_A_PERIOD, fastest, inductance_h / max(resistance_ohm, 1e-9))
    if longest / step > MOST_STEPS:
        return None
    return _integrated(crest_v, resistance_ohm, inductance_h, branches, step)


def _integrated(
    crest_v: float, resistance: float, inductance: float, branches: Sequence[tuple[float, float]], step: float
) -> MixedPulse:
    def slope(state: list[float]) -> list[float]:
        current, voltages = state[0], state[1:]
        bus, conducting = _bus(current, voltages, branches)
        rates = [
            (bus - voltage) / (r * c) if place in conducting else 0.0
            for place, (voltage, (r, c)) in enumerate(zip(voltages, branches, strict=True))
        ]
        return [(crest_v - resistance * current - bus) / inductance, *rates]

    state = [0.0] * (len(branches) + 1)
    currents, heating, peak = [0.0], 0.0, 0.0
    for _ in range(2 * MOST_STEPS):
        one = slope(state)
        two = slope([x + step / 2.0 * k for x, k in zip(state, one, strict=True)])
        three = slope([x + step / 2.0 * k for x, k in zip(state, two, strict=True)])
        four = slope([x + step * k for x, k in zip(state, three, strict=True)])
        state = [
            x + step / 6.0 * (a + 2.0 * b + 2.0 * c + d)
            for x, a, b, c, d in zip(state, one, two, three, four, strict=True)
        ]
        heating += step * (max(state[0], 0.0) ** 2 + currents[-1] ** 2) / 2.0
        currents.append(max(state[0], 0.0))
        peak = max(peak, state[0])
        if state[0] <= 0.0 or state[0] < 1e-3 * peak:
            break
    above = sum(1 for current in currents if current > peak / 2.0)
    return MixedPulse(peak, heating, above * step)


def _bus(
    current: float, voltages: Sequence[float], branches: Sequence[tuple[float, float]]
) -> tuple[float, frozenset[int]]:
    """The voltage behind the source and the branches that conduct; a bridge lets no current out."""
    order = sorted(range(len(branches)), key=voltages.__getitem__)
    conductance = weighted = 0.0
    taken: list[int] = []
    bus = voltages[order[0]]
    for place in order:
        if taken and voltages[place] >= bus:
            break
        conductance += 1.0 / branches[place][0]
        weighted += voltages[place] / branches[place][0]
        taken.append(place)
        bus = (current + weighted) / conductance
    return bus, frozenset(taken)
