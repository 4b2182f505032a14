"""The inrush of a whole circuit as intervals: what is certain whatever the unknowns are.

High ends hold for any closing instant, low ends for closing at the crest. The corners are exact
because peak and I2t fall as R or L rises and rise with C and V, and the width rises with R, L
and C (derived; checked on random rows in the tests).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from compat.model.values import Interval
from compat.physics.inrush import RANGES, DriverInput, Pulse, group_loop, pulse
from compat.physics.inrush_inverse import Outcome, bounding_driver, fit_driver, loop_of_pulse
from compat.physics.roots import bracketed_root

INDUCTANCE_STEPS = 8
# Below this part of the high end an inductance no longer matters.
SMALLEST_PART = 1e-3
# Up to this step width (s): the most by which the step was above the sine closed at the crest, in
# peak and in I2t, over 24,000 simulated loops at 50 and 60 Hz (derived). Nothing is known above.
SINE_ALLOWANCE = (
    (0.2e-3, 1.001, 1.020),
    (0.4e-3, 1.004, 1.065),
    (0.7e-3, 1.012, 1.150),
    (1.0e-3, 1.022, 1.250),
    (1.5e-3, 1.050, 1.420),
    (2.5e-3, 1.130, 1.800),
    (4.0e-3, 1.300, 2.400),
    (6.0e-3, 1.600, 3.700),
)
# Two junctions of a bridge take 0.95 V each at tens of amperes (from memory); low ends only.
BRIDGE_DROP_V = 2.0


@dataclass(frozen=True, slots=True)
class SourceRange:
    """Impedance of a source, line and neutral together, in ohm and henry."""

    resistance_ohm: Interval
    inductance_h: Interval


@dataclass(frozen=True, slots=True)
class StatedPulse:
    """Peak (A) and width above half the peak (s) of one driver and the source they stand for."""

    peak_a: Interval
    width_s: Interval
    test_crest_v: float
    test_source: SourceRange


@dataclass(frozen=True, slots=True)
class Candidates:
    """Driver inputs of which one is taken to be the true one.

    ``outcomes`` tells what the fits gave, to be shown. ``bounding`` says that no fit was possible
    and the single candidate is an upper bound, so that nothing is known of the low ends.
    """

    drivers: tuple[DriverInput, ...]
    outcomes: frozenset[Outcome] = frozenset()
    bounding: bool = False


@dataclass(frozen=True, slots=True)
class Group:
    """Equal drivers of a circuit."""

    candidates: Candidates
    count: int


@dataclass(frozen=True, slots=True)
class PulseRange:
    """Peak (A), width above half the peak (s) and I2t (A2s) of the circuit's pulse."""

    peak_a: Interval
    width_s: Interval
    i2t_a2s: Interval


def candidates_of(stated: StatedPulse) -> Candidates:
    """Fit the stated pulse over the ends of what is stated and the range of the test source.

    Resistance and capacitor of the fit both fall as the test inductance rises, so between two
    inductances no driver has a larger pulse than one with the lower resistance and the larger
    capacitor, nor a smaller pulse than the other way round: these corners are the candidates.
    Test sources that need a driver below 0 ohm are left out, unless all do; where the pulse is
    possible with none, the bounding driver stands in. Raises ValueError for a value out of range.
    """
    drivers: set[DriverInput] = set()
    outcomes: set[Outcome] = set()
    crest, source = stated.test_crest_v, stated.test_source
    spare = source.resistance_ohm.high - source.resistance_ohm.low
    for peak in _ends(stated.peak_a):
        for width in _ends(stated.width_s):
            fits = [
                fit_driver(peak, width, crest, source.resistance_ohm.low, inductance)
                for inductance in _inductances(peak, width, crest, source)
            ]
            outcomes |= {fit.outcome for fit in fits}
            found = [fit.driver for fit in fits if fit.driver is not None]
            for above, below in zip(found[:1] + found, found, strict=False):
                least = max(0.0, below.resistance_ohm - spare)
                drivers.add(DriverInput(least, above.capacitance_f))
                drivers.add(DriverInput(above.resistance_ohm, below.capacitance_f))
    if drivers:
        return Candidates(worth_keeping(drivers), frozenset(outcomes))
    most = bounding_driver(stated.peak_a.high, stated.width_s.high, crest)
    return Candidates((most,), frozenset(outcomes), bounding=True)


def worth_keeping(drivers: Iterable[DriverInput]) -> tuple[DriverInput, ...]:
    """The drivers that can set an end of a range; drops those between others in R and C."""
    ordered = sorted(drivers, key=lambda one: (one.resistance_ohm, -one.capacitance_f))
    kept: set[DriverInput] = set()
    most = 0.0
    for driver in ordered:
        if driver.capacitance_f > most:
            kept.add(driver)
            most = driver.capacitance_f
    least = math.inf
    for driver in reversed(ordered):
        if driver.capacitance_f < least:
            kept.add(driver)
            least = driver.capacitance_f
    return tuple(one for one in ordered if one in kept)


def circuit_pulse(
    crest_v: Interval,
    source: SourceRange,
    groups: Sequence[Group],
    *,
    hot_restart: bool = False,
) -> PulseRange:
    """The pulse of all groups switched on together behind one source.

    ``crest_v`` spans the crest of the supply with its tolerance (230 V +-10 %: 292.7 to 357.8 V).
    One group: the extremes over its candidates and the corners of source and crest. Several
    groups: at least the largest alone behind the source; at most the sum of the pulses of all,
    each alone behind the source, the I2t of the sum being (sum of sqrt(I2t))^2 (observed in
    simulations of random mixed circuits, not proven).
    ``hot_restart``: a short interruption leaves a warm limiter (a resistor that falls with
    temperature), so the series resistance of the drivers may be anything down to 0 ohm; the high
    ends are taken there. Low ends are lowered by what a sine and a bridge take from the step.
    Raises ValueError for an empty circuit or a value out of range.
    """
    if not groups or any(not group.candidates.drivers for group in groups):
        raise ValueError("a circuit needs at least one group, and a group at least one candidate")
    RANGES["crest_v"].check_interval("crest_v", crest_v)
    RANGES["source_resistance_ohm"].check_interval("source resistance", source.resistance_ohm)
    RANGES["source_inductance_h"].check_interval("source inductance", source.inductance_h)
    ranges = [_group_pulse(crest_v, source, group, hot_restart) for group in groups]
    return PulseRange(
        Interval(max(one.peak_a.low for one in ranges), sum(one.peak_a.high for one in ranges)),
        Interval(min(one.width_s.low for one in ranges), sum(one.width_s.high for one in ranges)),
        Interval(
            max(one.i2t_a2s.low for one in ranges),
            sum(math.sqrt(one.i2t_a2s.high) for one in ranges) ** 2,
        ),
    )


def _group_pulse(crest_v: Interval, source: SourceRange, group: Group, hot_restart: bool) -> PulseRange:
    stated = group.candidates.drivers
    hottest = [replace(one, resistance_ohm=0.0) for one in stated] if hot_restart else stated

    def pulses(end: str, crest: float, drivers: Iterable[DriverInput]) -> list[Pulse]:
        resistance = getattr(source.resistance_ohm, end)
        inductance = getattr(source.inductance_h, end)
        return [pulse(crest, group_loop(resistance, inductance, one, group.count)) for one in drivers]

    strong = pulses("low", crest_v.high, hottest)
    weak = pulses("high", max(crest_v.low - BRIDGE_DROP_V, 1e-3), stated)
    least_peak, least_i2t = 0.0, 0.0
    if not group.candidates.bounding:
        least_peak = min(_under_sine(one)[0] for one in weak)
        least_i2t = min(_under_sine(one)[1] for one in weak)
    return PulseRange(
        Interval(least_peak, max(one.peak_a for one in strong)),
        Interval(
            0.0 if group.candidates.bounding else min(one.width_s for one in strong),
            max(one.width_s for one in weak),
        ),
        Interval(least_i2t, max(one.i2t_a2s for one in strong)),
    )


def _under_sine(one: Pulse) -> tuple[float, float]:
    """Peak and I2t that a sine closed at the crest reaches at least."""
    for width, peak_allowance, i2t_allowance in SINE_ALLOWANCE:
        if one.width_s <= width:
            return one.peak_a / peak_allowance, one.i2t_a2s / i2t_allowance
    return 0.0, 0.0


def _ends(value: Interval) -> tuple[float, ...]:
    return (value.low,) if value.is_exact() else (value.low, value.high)


def _inductances(peak_a: float, width_s: float, crest_v: float, source: SourceRange) -> list[float]:
    """Test inductances up to the largest that leaves the driver at least 0 ohm, rising.

    Denser towards the last, where the fitted resistance falls fastest. Only the low end when
    already that leaves less than 0 ohm.
    """
    low, high = source.inductance_h.low, source.inductance_h.high

    def rest(inductance_h: float) -> float:
        loop = loop_of_pulse(peak_a, width_s, crest_v, inductance_h)
        return (0.0 if loop is None else loop.resistance_ohm) - source.resistance_ohm.low

    if low == high or rest(low) <= 0.0:
        return [low]
    if rest(high) < 0.0:
        high = bracketed_root(rest, low, high) * (1.0 - 1e-12)
    start = max(low, high * SMALLEST_PART)
    parts = [1.0 - step / INDUCTANCE_STEPS for step in range(1, INDUCTANCE_STEPS)]
    return [low, *[high * (start / high) ** (part**2) for part in parts], high]
