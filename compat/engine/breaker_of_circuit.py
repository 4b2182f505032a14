"""What a breaker does on the inrush of a circuit: surely, and likely.

Surely: at the ends of all that is stated. Likely: the middle of all that is stated, behind the source
and the cable of the circuit, with a breaker in the middle of its band and a release time of 1.5 ms.
Checked against the counts of a trade association's guide in tests/published.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING, Literal

from compat.engine.inrush_of_circuit import (
    ROOT_2,
    bound_by_watts,
    bound_driver,
    candidates_of_member,
    pulse_too_short,
    source_of,
    stated_pulse,
    sure_pulse,
    test_source_of,
    test_voltage_of,
    within_range,
)
from compat.engine.site import Site, quantities, quantity
from compat.model.values import UNKNOWN, Content, Interval
from compat.physics.breaker_release import Breaker, hold_limit_a, trip_limit_a
from compat.physics.cable import resistance_at
from compat.physics.inrush import DriverInput, group_loop, pulse
from compat.physics.inrush_circuit import PulseRange, SourceRange
from compat.physics.inrush_inverse import bounding_driver, fit_driver
from compat.physics.inrush_mixed import mixed_pulse

if TYPE_CHECKING:
    from compat.engine.gather import Circuit, Member

PLUNGER_TIME_S = 1.5e-3
# What is likely has to stay this far below what the breaker likely holds; the rule says the same.
LIKELY_MARGIN = 0.9
SMALL_LOAD_W = 10.0
CABLE_INDUCTANCE_H_PER_M = 0.6e-6


@dataclass(frozen=True, slots=True)
class Likely:
    """The likely peak of a circuit (A) and the peak of such a pulse that the breaker likely holds."""

    peak_a: float
    release_a: float


def likely_of(members: Sequence[Member], values: Mapping[str, Content], site: Site) -> Likely | None:
    """The likely inrush against the likely release; the bound by the watts where an inrush is open.

    Where only the figures of the standard are asked for, the sure ends stand for both.
    """
    sure = within_range(lambda: sure_pulse(members, site))
    if sure is None:
        bound = within_range(lambda: bound_by_watts(members, site))
        hold = None if bound is None else within_range(lambda: _hold_at(bound[0], bound[1], site))
        if bound is None or hold is None:
            return None
        if bound[0] > hold:
            # Only what is not stated is bounded; the rest is taken at its middle.
            return None if site.strict else within_range(lambda: _middle(members, values, site))
        # What even the bound does not release has all the margin that is asked for.
        return Likely(bound[0], bound[0] / LIKELY_MARGIN)
    if site.strict:
        hold = within_range(lambda: _hold_at(sure.peak_a.high, sure.i2t_a2s.high, site))
        return None if hold is None else Likely(sure.peak_a.high, hold)
    return within_range(lambda: _middle(members, values, site))


def _middle(members: Sequence[Member], values: Mapping[str, Content], site: Site) -> Likely | None:
    nominal = quantity(site.supply.traits, "voltage_v")
    source = source_of(site, "source_impedance")
    breaker = _middle_breaker(site)
    drivers = _middle_drivers(members, site)
    if nominal is None or source is None or breaker is None or not drivers:
        return None
    resistance, inductance = _with_cable(source, values.get("circuit.cable_length_m"), site)
    crest = ROOT_2 * _mean(nominal)
    if len(drivers) == 1:
        ((driver, count),) = drivers
        one = pulse(crest, group_loop(resistance, inductance, driver, count))
        peak, heating = one.peak_a, one.i2t_a2s
    else:
        together = mixed_pulse(crest, resistance, inductance, drivers)
        if together is None:
            parts = [pulse(crest, group_loop(resistance, inductance, one, many)) for one, many in drivers]
            peak = sum(part.peak_a for part in parts)
            heating = sum(math.sqrt(part.i2t_a2s) for part in parts) ** 2
        else:
            peak, heating = together.peak_a, together.i2t_a2s
    return Likely(peak, hold_limit_a(breaker, peak, heating))


def _middle_breaker(site: Site) -> Breaker | None:
    """In the middle of the band of its curve; of several curves and ratings the lowest."""
    lowest, band = _breaker(site, "low"), quantities(site.breaker.traits, "hold_multiple", "trip_multiple")
    if lowest is None or band is None:
        return None
    return replace(
        lowest,
        hold_multiple=math.sqrt(band[0].low * band[1].low),
        shortest_plunger_time_s=PLUNGER_TIME_S,
        longest_plunger_time_s=max(PLUNGER_TIME_S, lowest.longest_plunger_time_s),
    )


def _middle_drivers(members: Sequence[Member], site: Site) -> list[tuple[DriverInput, int]] | None:
    counts: dict[DriverInput, int] = {}
    for member in members:
        stated, behind = stated_pulse(member), test_source_of(member, site)
        voltage = test_voltage_of(member, site)
        if stated is None or pulse_too_short(member, site) is not False:
            driver = _small_load(member, site)
            if driver is None:
                return None
            counts[driver] = counts.get(driver, 0) + member.row.quantity
            continue
        if behind is None or voltage is None:
            return None
        driver = _middle_driver(stated[0], stated[1], ROOT_2 * _mean(voltage), behind)
        counts[driver] = counts.get(driver, 0) + member.row.quantity
    return list(counts.items())


def _small_load(member: Member, site: Site) -> DriverInput | None:
    """The largest input of a load of at most 10 W whose inrush is not stated; None for larger ones."""
    power = quantity(member.traits, "input_power_w")
    return bound_driver(member, site) if power is not None and power.high <= SMALL_LOAD_W else None


@lru_cache(maxsize=4096)
def _middle_driver(peak: Interval, width: Interval, crest_v: float, source: SourceRange) -> DriverInput:
    ohm, henry = _geometric(source.resistance_ohm), _geometric(source.inductance_h)
    fit = fit_driver(_mean(peak), _mean(width), crest_v, ohm, henry)
    return fit.driver or bounding_driver(_mean(peak), _mean(width), crest_v)


def _with_cable(source: SourceRange, length: Content, site: Site) -> tuple[float, float]:
    """Ohm and henry of the middle source with the cable of the circuit, half its length as the middle."""
    ohm, henry = _geometric(source.resistance_ohm), _geometric(source.inductance_h)
    per_km = quantity(site.cable.traits, "resistance_ohm_per_km")
    if isinstance(length, Interval) and per_km is not None:
        metres = _mean(length)
        ohm += 2.0 * metres * resistance_at(_mean(per_km), 20.0) / 1000.0
        henry += metres * CABLE_INDUCTANCE_H_PER_M
    return ohm, henry


def _mean(value: Interval) -> float:
    return (value.low + value.high) / 2.0


def _geometric(value: Interval) -> float:
    return math.sqrt(value.low * value.high) if value.low > 0 else _mean(value)


# ---- the breaker


def release_range(found: PulseRange, site: Site) -> Interval | None:
    """From the peak that the breaker surely holds to the one that surely releases it."""
    hold = _hold_at(found.peak_a.high, found.i2t_a2s.high, site)
    if hold is None:
        return None
    trip = None
    if not site.strict and (breaker := _breaker(site, "high")):
        trip = trip_limit_a(breaker, found.peak_a.low, found.i2t_a2s.low)
    # Where no peak surely releases, the upper end only has to be out of the pulse's reach.
    return Interval(hold, max(hold, found.peak_a.high if trip is None else trip))


def breaker_holds(circuit: Circuit, site: Site) -> bool | None:
    """Whether the breaker of a site surely holds the inrush of a circuit; None when it is not known."""
    peak, i2t = (circuit.values.get(f"circuit.group_inrush_{name}") for name in ("peak_a", "i2t_a2s"))
    if not isinstance(peak, Interval) or not isinstance(i2t, Interval):
        return None
    hold = within_range(lambda: _hold_at(peak.high, i2t.high, site))
    return None if hold is None else peak.high <= hold


def breaker_holds_likely(circuit: Circuit, site: Site) -> bool | None:
    """Whether it likely holds, by the margin that the rule asks for; None when it is not known.

    True wherever it surely holds. The breaker may be another than that of the circuit's own site.
    """
    likely = likely_of(circuit.members, circuit.values, site)
    sure = breaker_holds(circuit, site)
    if sure or likely is None:
        return sure
    return likely.peak_a <= LIKELY_MARGIN * likely.release_a


def surely_held_count(members: Sequence[Member], site: Site) -> float | None:
    """The most drivers of this mix with which the breaker surely holds, found by halving."""
    total = sum(member.row.quantity for member in members)
    # Rows of one kind count as one, so that a part of the mix is not a driver of every row.
    kinds: dict[object, Member] = {}
    for member in members:
        power = member.traits.get("input_power_w", UNKNOWN).content
        kind = member.row.driver_id, candidates_of_member(member, site), power
        count = kinds[kind].row.quantity if kind in kinds else 0
        kinds[kind] = replace(member, row=replace(member.row, quantity=count + member.row.quantity))

    def holds(count: int) -> bool | None:
        part = [
            replace(member, row=replace(member.row, quantity=math.ceil(member.row.quantity * count / total)))
            for member in kinds.values()
        ]
        found = within_range(lambda: sure_pulse(part, site, together=False))
        hold = None if found is None else _hold_at(found.peak_a.high, found.i2t_a2s.high, site)
        return None if found is None or hold is None else found.peak_a.high <= hold

    if total < 1 or holds(1) is None:
        return None
    held, broken = 0, total + 1
    while broken - held > 1:
        middle = (held + broken) // 2
        held, broken = (middle, broken) if holds(middle) else (held, middle)
    return float(held)


def _hold_at(peak_a: float, i2t_a2s: float, site: Site) -> float | None:
    breaker = _breaker(site, "low")
    return None if breaker is None else hold_limit_a(breaker, peak_a, i2t_a2s, strict=site.strict)


def _breaker(site: Site, end: Literal["low", "high"]) -> Breaker | None:
    """The breaker of a site with one end of its rated current; None when a value is not known."""
    found = quantities(site.breaker.traits, "rated_current_a", "hold_multiple", "trip_multiple")
    times = quantities(site.breaker.traits, "shortest_plunger_time_ms", "longest_plunger_time_ms")
    frequency = quantity(site.supply.traits, "frequency_hz")
    if found is None or frequency is None or (times is None and not site.strict):
        return None
    rated, holds, trips = found
    # The strict mode uses no times; any in the range of the model will do.
    shortest, longest = times or (Interval(1.0, 1.0), Interval(1.0, 1.0))
    current = rated.low if end == "low" else rated.high
    return Breaker(current, holds.low, trips.high, shortest.low * 1e-3, longest.high * 1e-3, frequency.high)
