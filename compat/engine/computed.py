"""Traits of a circuit that physics gives: inrush behind the source, phase-cut current, voltage drop.

Every result is an interval or unknown; an unknown input of any driver makes the result unknown.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import TYPE_CHECKING, Literal, TypeVar

from compat.engine.dmx_steps import lowest_step
from compat.engine.site import Site, quantities, quantity
from compat.model.values import UNKNOWN, Content, Interval
from compat.physics.breaker_release import Breaker, hold_limit_a, trip_limit_a
from compat.physics.cable import drop_at_end_v, drop_spread_v, resistance_at
from compat.physics.flicker import modulation_limit_percent
from compat.physics.inrush_circuit import (
    Candidates,
    Group,
    PulseRange,
    SourceRange,
    StatedPulse,
    candidates_of,
    circuit_pulse,
)
from compat.physics.phase_cut_current import (
    INPUT_TYPES,
    NODES_DEGREE,
    InputType,
    peak_ratio,
    rms_ratio,
)

if TYPE_CHECKING:
    from compat.engine.gather import Circuit, Member
    from compat.physics.phase_cut import Edge

# The firing angles a dimmer passes on its way down, as far as the tables of ratios go.
ANGLES_DEGREE = tuple(angle for angle in NODES_DEGREE if angle <= 135.0)
# Peak of the uncut current divided by its r.m.s. value, by input: bulk capacitors from the
# simulated rows of the phase-cut table; corrected inputs from a sine up to a distorted one.
CREST_FACTOR: dict[str, tuple[float, float]] = {
    "bulk_capacitor": (3.4, 5.5),
    "small_capacitor": (2.5, 3.5),
    "corrected": (math.sqrt(2.0), 1.8),
}
CONDUCTOR_CELSIUS = (20.0, 70.0)
T = TypeVar("T")


@dataclass(slots=True)
class Physics:
    """The computed traits of a circuit at a site, each when it is asked for.

    ``values`` are the circuit's other values by full name. A value outside a model's range is unknown.
    """

    members: Sequence[Member]
    values: Mapping[str, Content]
    site: Site
    _pulses: dict[bool, PulseRange | None] = field(default_factory=dict)

    def value(self, name: str) -> Content:
        """The computed trait of a short name; unknown for one that no model gives."""
        make = COMPUTED.get(name)
        if make is None:
            return None
        try:
            return make(self)
        except (ValueError, OverflowError, ZeroDivisionError):
            return None

    def pulse(self, hot: bool = False) -> PulseRange | None:
        """The inrush of all drivers, or that after a short interruption."""
        if hot not in self._pulses:
            make = _hot_pulse if hot else _pulse
            groups = _within_range(lambda: _groups(self.members, self.site))
            self._pulses[hot] = _within_range(lambda: make(groups, self.site)) if groups else None
        return self._pulses[hot]


def _inrush_peak(physics: Physics) -> Interval | None:
    pulse = physics.pulse()
    return pulse.peak_a if pulse else None


def _inrush_width(physics: Physics) -> Interval | None:
    pulse = physics.pulse()
    return Interval(pulse.width_s.low * 1e6, pulse.width_s.high * 1e6) if pulse else None


def _inrush_i2t(physics: Physics) -> Interval | None:
    pulse = physics.pulse()
    return pulse.i2t_a2s if pulse else None


def _hot_restart_peak(physics: Physics) -> Interval | None:
    # Where the cold inrush is not known, that after an interruption is not either.
    pulse = physics.pulse(hot=True) if physics.pulse() else None
    return pulse.peak_a if pulse else None


def _breaker_release(physics: Physics) -> Interval | None:
    pulse = physics.pulse()
    return _release(pulse.peak_a, pulse.i2t_a2s, physics.site) if pulse else None


def _within_range(value: Callable[[], T | None]) -> T | None:
    """The value, or None where the physics says that an input is outside its range."""
    try:
        return value()
    except (ValueError, OverflowError, ZeroDivisionError):
        return None


def _groups(members: Sequence[Member], site: Site) -> list[Group] | None:
    """The drivers of a circuit by type; rows of one driver of the dataset are one group."""
    nominal = quantity(site.supply.traits, "voltage_v")
    if nominal is None:
        return None
    counts: dict[tuple[object, Candidates], int] = {}
    for place, member in enumerate(members):
        candidates = _candidates(member, nominal, site)
        if candidates is None:
            return None
        # Rows that only state alike figures may be of different types, so they stay apart.
        kind = (member.row.driver_id or place, candidates)
        counts[kind] = counts.get(kind, 0) + member.row.quantity
    return [Group(candidates, count) for (_, candidates), count in counts.items()]


def _pulse(groups: Sequence[Group], site: Site) -> PulseRange | None:
    """The inrush of all drivers at the nominal crest."""
    source = _source(site, "source_impedance")
    nominal = quantity(site.supply.traits, "voltage_v")
    if source is None or nominal is None:
        return None
    return circuit_pulse(Interval(math.sqrt(2) * nominal.low, math.sqrt(2) * nominal.high), source, groups)


def _hot_pulse(groups: Sequence[Group], site: Site) -> PulseRange | None:
    """The inrush after a short interruption, with hot limiters, up to the highest crest."""
    source = _source(site, "source_impedance")
    voltages = quantities(site.supply.traits, "voltage_v", "voltage_max_v")
    if source is None or voltages is None:
        return None
    nominal, highest = voltages
    crest = Interval(math.sqrt(2) * nominal.low, math.sqrt(2) * max(highest.high, nominal.high))
    return circuit_pulse(crest, source, groups, hot_restart=True)


def _source(site: Site, subject: str) -> SourceRange | None:
    found = quantities(site.traits(subject), "resistance_ohm", "inductance_uh")
    if found is None:
        return None
    resistance, inductance = found
    return SourceRange(resistance, Interval(inductance.low * 1e-6, inductance.high * 1e-6))


def _candidates(member: Member, nominal: Interval, site: Site) -> Candidates | None:
    stated = quantities(member.traits, "inrush_peak_a", "inrush_width_us")
    if stated is None:
        return None
    peak, width = stated
    if peak.low <= 0 or width.low <= 0:
        return None
    test = quantities(member.traits, "inrush_test_resistance_ohm", "inrush_test_inductance_uh")
    behind = _source(site, "inrush_test_source")
    if test is not None:
        behind = SourceRange(test[0], Interval(test[1].low * 1e-6, test[1].high * 1e-6))
    if behind is None:
        return None
    width_s = Interval(width.low * 1e-6, width.high * 1e-6)
    return _fitted(peak, width_s, math.sqrt(2) * nominal.high, behind)


@lru_cache(maxsize=4096)
def _fitted(peak_a: Interval, width_s: Interval, crest_v: float, source: SourceRange) -> Candidates:
    return candidates_of(StatedPulse(peak_a, width_s, crest_v, source))


def breaker_holds(circuit: Circuit, site: Site) -> bool | None:
    """Whether the breaker of a site surely holds the inrush of a circuit; None when it is not known."""
    peak, i2t = (circuit.values.get(f"circuit.group_inrush_{name}") for name in ("peak_a", "i2t_a2s"))
    if not isinstance(peak, Interval) or not isinstance(i2t, Interval):
        return None
    hold = _within_range(lambda: _hold(peak, i2t, site))
    return None if hold is None else peak.high <= hold


def _release(peak_a: Interval, i2t_a2s: Interval, site: Site) -> Interval | None:
    """From the peak that the breaker surely holds to the one that surely releases it."""
    hold = _hold(peak_a, i2t_a2s, site)
    if hold is None:
        return None
    trip = None
    if not site.strict and (breaker := _breaker(site, "high")):
        trip = trip_limit_a(breaker, peak_a.low, i2t_a2s.low)
    # Where no peak surely releases, the upper end only has to be out of the pulse's reach.
    return Interval(hold, max(hold, peak_a.high if trip is None else trip))


def _hold(peak_a: Interval, i2t_a2s: Interval, site: Site) -> float | None:
    breaker = _breaker(site, "low")
    return None if breaker is None else hold_limit_a(breaker, peak_a.high, i2t_a2s.high, strict=site.strict)


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


Share = Callable[[str, "Edge"], tuple[float, float]]


@lru_cache(maxsize=64)
def _rms_share(input_type: str, edge: Edge) -> tuple[float, float]:
    """The largest r.m.s. current over all angles, divided by the uncut one; power follows the cut."""
    kind: InputType = next(known for known in INPUT_TYPES if known == input_type)
    ratios = [rms_ratio(kind, edge, Interval(angle, angle), "follows") for angle in ANGLES_DEGREE]
    return max(ratio.low for ratio in ratios), max(ratio.high for ratio in ratios)


@lru_cache(maxsize=64)
def _peak_share(input_type: str, edge: Edge) -> tuple[float, float]:
    """The largest repetitive peak over all angles, divided by the uncut r.m.s. current."""
    kind: InputType = next(known for known in INPUT_TYPES if known == input_type)
    ratios = [peak_ratio(kind, edge, Interval(angle, angle), "follows") for angle in ANGLES_DEGREE]
    low, high = CREST_FACTOR[input_type]
    return max(ratio.low for ratio in ratios) * low, max(ratio.high for ratio in ratios) * high


def _phase_cut(members: Sequence[Member], share: Share, edge: Edge) -> Interval | None:
    low = high = 0.0
    for member in members:
        current = quantity(member.traits, "input_current_a")
        character = member.traits.get("input_character", UNKNOWN).content
        if current is None or character is None:
            return None
        least, most = (1.0, math.sqrt(2.0) if share is _peak_share else 1.0)
        if character == "capacitive":
            stated = member.traits.get("input_type", UNKNOWN).content
            # An input of unknown type is one of the three: the widest range stands.
            shares = [share(kind, edge) for kind in ([stated] if isinstance(stated, str) else INPUT_TYPES)]
            least, most = min(s[0] for s in shares), max(s[1] for s in shares)
        low += member.row.quantity * current.low * least
        high += member.row.quantity * current.high * most
    return Interval(low, high) if math.isfinite(high) else None


def _voltage_drop(physics: Physics) -> Interval | None:
    """In % of the nominal voltage: from loads spread along the cable to all at its end."""
    resistance = quantity(physics.site.cable.traits, "resistance_ohm_per_km")
    voltage = quantity(physics.site.supply.traits, "voltage_v")
    length = physics.values.get("circuit.cable_length_m")
    current = physics.values.get("circuit.input_current_a")
    if not (resistance and voltage and isinstance(length, Interval) and isinstance(current, Interval)):
        return None
    cold, warm = CONDUCTOR_CELSIUS
    least = drop_spread_v(resistance_at(resistance.low, cold), length.low, current.low)
    most = drop_at_end_v(resistance_at(resistance.high, warm), length.high, current.high)
    return Interval(100.0 * least / voltage.high, 100.0 * most / voltage.low)


def _safe_pair(physics: Physics) -> bool:
    """Whether somebody says that the control pair is run as SELV."""
    return physics.values.get("circuit.control_pair_selv") is True


def _modulation_limit(physics: Physics) -> Interval | None:
    frequency = physics.values.get("circuit.light_modulation_frequency_hz")
    if not isinstance(frequency, Interval):
        return None
    # The limit rises with the frequency; where there is none, all of the light may be modulated.
    ends = [modulation_limit_percent("rp1", end) for end in (frequency.low, frequency.high)]
    low, high = (100.0 if end is None else min(end, 100.0) for end in ends)
    return Interval(low, high)


COMPUTED: dict[str, Callable[[Physics], Content]] = {
    "group_inrush_peak_a": _inrush_peak,
    "group_inrush_width_us": _inrush_width,
    "group_inrush_i2t_a2s": _inrush_i2t,
    "hot_restart_peak_a": _hot_restart_peak,
    "breaker_release_peak_a": _breaker_release,
    "forward_phase_current_a": lambda physics: _phase_cut(physics.members, _rms_share, "forward_phase"),
    "reverse_phase_current_a": lambda physics: _phase_cut(physics.members, _rms_share, "reverse_phase"),
    "forward_phase_peak_a": lambda physics: _phase_cut(physics.members, _peak_share, "forward_phase"),
    "voltage_drop_percent": _voltage_drop,
    "modulation_low_risk_percent": _modulation_limit,
    "dmx_lowest_step_percent": lambda physics: lowest_step(physics.members),
    "safe_pair_stated": _safe_pair,
}
