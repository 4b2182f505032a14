"""Several kinds of drivers switched on together: the pulse of the whole circuit as one loop.

One source (R, L) feeds branches of series resistance and capacitor, each behind a bridge that lets
current in only; the voltage is held at the crest. Behind one source the kinds share the current, so the
peak is well below the sum of what each would draw alone. Source: Kirchhoff's laws, integrated by the
trapezoidal rule, which is stable however short the time constant of a branch is, so that the step follows
the pulse alone; derived here and checked against circuit simulation in the tests.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from compat.physics.inrush import RANGES, DriverInput
from compat.physics.ranges import check_all

# The rule errs by (2 pi / steps)^2 / 12 of a sine: 0.01 %.
STEPS_A_PERIOD = 180
# Past the peak, below this share of it, a step grows while the current moves by less than the first share
# of the peak, and shrinks where it moves by more than the second. Beside steps a quarter as long, peak, I2t
# and width are within 1 %.
PAST_PEAK = 0.98
LEAST_FALL, MOST_FALL = 0.005, 0.01
# With time constants that lie further apart, counted in steps of the shortest, the loop gives no answer.
MOST_STEPS = 6000
COARSE_STEPS_A_PERIOD = 60
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
    coarse = min(period / COARSE_STEPS_A_PERIOD, fastest, inductance_h / max(resistance_ohm, 1e-9))
    if longest / coarse > MOST_STEPS:
        return None
    # The smallest capacitor may draw a shorter pulse ahead of the others. A damped loop rises within L/R,
    # of which a step takes a fifth at the most.
    quickest = 2.0 * math.pi * math.sqrt(inductance_h * min(c for _, c in branches))
    step = min(period / STEPS_A_PERIOD, quickest / 60.0, inductance_h / max(resistance_ohm, 1e-9) / 5.0)
    return _integrated(crest_v, resistance_ohm, inductance_h, branches, step)


@lru_cache(maxsize=4096)
def _integrated(
    crest_v: float, resistance: float, inductance: float, branches: Sequence[tuple[float, float]], step: float
) -> MixedPulse:
    loop = _Loop([(1.0 / r, 1.0 / (2.0 * r * c)) for r, c in branches])
    first_step, times, currents = step, [0.0], [0.0]
    heating = peak = current = bus = 0.0
    for _ in range(4 * MOST_STEPS):
        half = step / (2.0 * inductance)
        damping = 1.0 + half * resistance
        # New current = fixed - half / damping * new bus, by the trapezoidal rule on the coil.
        fixed = (current * (2.0 - damping) + half * (2.0 * crest_v - bus)) / damping
        bus = loop.advance(bus, fixed, half / damping, step)
        before, current = current, fixed - half / damping * bus
        heating += step * (max(current, 0.0) ** 2 + currents[-1] ** 2) / 2.0
        times.append(times[-1] + step)
        currents.append(max(current, 0.0))
        peak = max(peak, current)
        if current <= 0.0 or current < 1e-3 * peak:
            break
        moved = abs(current - before)
        if moved < LEAST_FALL * peak and current < PAST_PEAK * peak:
            # What was quick has died away: the tail takes longer steps.
            step *= 1.1
        elif moved > MOST_FALL * peak and step > first_step:
            step /= 1.1
    return MixedPulse(peak, heating, _width_above(peak / 2.0, times, currents))


def _width_above(level: float, times: Sequence[float], currents: Sequence[float]) -> float:
    """How long the current is above a level, straight between the steps."""
    width = 0.0
    for (start, low), (end, high) in pairwise(zip(times, currents, strict=True)):
        least, most = min(low, high), max(low, high)
        above = 1.0 if least >= level else 0.0 if most <= level else (most - level) / (most - least)
        width += above * (end - start)
    return width


class _Loop:
    """The branches behind the source, each behind a bridge that lets no current out: ``branches`` are
    conductance in siemens, and half the inverse of the time constant in 1/s.
    """

    def __init__(self, branches: Sequence[tuple[float, float]]) -> None:
        self._branches = branches
        self._voltages = [0.0] * len(branches)
        self._taken = list(range(len(branches)))

    def advance(self, bus: float, fixed: float, share: float, step: float) -> float:
        """The bus voltage one step in s on, where the current is ``fixed - share * bus``."""
        while True:
            conductance, weighted, ends = share, fixed, []
            for place in self._taken:
                siemens, rate = self._branches[place]
                voltage, part = self._voltages[place], rate * step
                # The capacitor at the end of the step is base + slope * new bus.
                base, slope = (voltage + part * (bus - voltage)) / (1.0 + part), part / (1.0 + part)
                conductance += siemens * (1.0 - slope)
                weighted += siemens * base
                ends.append((place, base, slope))
            new = weighted / conductance
            shut = [place for place, base, slope in ends if base + slope * new > new]
            if not shut or len(shut) == len(ends):
                break
            self._taken = [place for place in self._taken if place not in shut]
        for place, base, slope in ends:
            self._voltages[place] = base + slope * new
        self._taken = [place for place, voltage in enumerate(self._voltages) if voltage <= new]
        return new
