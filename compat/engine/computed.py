"""Traits of a circuit that physics gives: inrush behind the source, phase-cut current, voltage drop.

Every result is an interval or unknown; an unknown input of any driver makes the result unknown.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import TYPE_CHECKING

from compat.engine.breaker_of_circuit import (
    Likely,
    breaker_holds,
    breaker_holds_likely,
    likely_of,
    release_range,
    surely_held_count,
)
from compat.engine.computed_members import CABLE_FARAD_PER_M, LEAST_POWER_FACTOR, OF_MEMBERS, OfMembers
from compat.engine.dmx_steps import lowest_step
from compat.engine.inrush_of_circuit import (
    candidates_of_member,
    most_capacitance_f,
    pulse_too_short,
    sure_pulse,
    within_range,
)
from compat.engine.site import Site, quantities, quantity
from compat.model.values import UNKNOWN, Content, Interval
from compat.physics.cable import drop_at_end_v, drop_spread_v, resistance_at
from compat.physics.flicker import modulation_limit_percent
from compat.physics.inrush_circuit import PulseRange
from compat.physics.leakage import cable_coupled_current_a
from compat.physics.phase_cut_current import (
    INPUT_TYPES,
    NODES_DEGREE,
    InputType,
    peak_ratio,
    rms_ratio,
)

if TYPE_CHECKING:
    from compat.engine.gather import Member
    from compat.physics.phase_cut import Edge

# The firing angles a dimmer passes on its way down, as far as the tables of ratios go.
ANGLES_DEGREE = tuple(angle for angle in NODES_DEGREE if angle <= 135.0)
# Peak of the uncut current divided by its r.m.s. value, by input: bulk capacitors from the
# simulated rows of the phase-cut table; corrected inputs from a sine up to a distorted one.
CREST_FACTOR: dict[str, tuple[float, float]] = {
    "bulk_capacitor": (3.0, 5.5),
    "small_capacitor": (2.5, 3.5),
    "corrected": (math.sqrt(2.0), 1.8),
}
CONDUCTOR_CELSIUS = (20.0, 70.0)
# Of one input type the ratios lie closer together than this; of several that differ more, nothing is said.
WIDEST_SHARE = 4.0
REACTANCE_OHM_PER_M = 0.08e-3
# A dataset of before may not know it.
LIVE_BESIDE = "cable_live_beside_m"
__all__ = ["COMPUTED", "Physics", "breaker_holds", "breaker_holds_likely"]


@dataclass(slots=True)
class Physics:
    """The computed traits of a circuit at a site, each when it is asked for.

    ``values`` are the circuit's other values by full name. A value outside a model's range is unknown.
    """

    members: Sequence[Member]
    values: Mapping[str, Content]
    site: Site
    _pulses: dict[bool, PulseRange | None] = field(default_factory=dict)
    _likely: list[Likely | None] = field(default_factory=list)

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
            self._pulses[hot] = within_range(lambda: sure_pulse(self.members, self.site, hot))
        return self._pulses[hot]

    def likely(self) -> Likely | None:
        """The likely inrush and what the breaker likely holds of it."""
        if not self._likely:
            self._likely.append(likely_of(self.members, self.values, self.site))
        return self._likely[0]


def _inrush_peak(physics: Physics) -> Content:
    pulse = physics.pulse()
    return pulse.peak_a if pulse else None


def _inrush_width(physics: Physics) -> Content:
    pulse = physics.pulse()
    return Interval(pulse.width_s.low * 1e6, pulse.width_s.high * 1e6) if pulse else None


def _inrush_i2t(physics: Physics) -> Content:
    pulse = physics.pulse()
    return pulse.i2t_a2s if pulse else None


def _hot_restart_peak(physics: Physics) -> Content:
    # Where the cold inrush is not known, that after an interruption is not either.
    pulse = physics.pulse(hot=True) if physics.pulse() else None
    return pulse.peak_a if pulse else None


def _breaker_release(physics: Physics) -> Content:
    pulse = physics.pulse()
    return release_range(pulse, physics.site) if pulse else None


def _likely_peak(physics: Physics) -> Content:
    likely = physics.likely()
    return Interval(likely.peak_a, likely.peak_a) if likely else None


def _likely_release(physics: Physics) -> Content:
    likely = physics.likely()
    return Interval(likely.release_a, likely.release_a) if likely else None


def _surely_held(physics: Physics) -> Content:
    count = surely_held_count(physics.members, physics.site) if physics.pulse() else None
    return None if count is None else Interval(count, count)


def _inrush_known(physics: Physics) -> Content:
    return physics.pulse() is not None


def _pulse_short(physics: Physics) -> Content:
    told = [pulse_too_short(member, physics.site) for member in physics.members]
    return True if any(told) else None if None in told else False


def _input_capacitance(physics: Physics) -> Content:
    """The capacitors that the stated pulses, or else the watts, leave possible, added, in uF."""
    low = high = 0.0
    for member in physics.members:
        found = candidates_of_member(member, physics.site)
        if found is None or pulse_too_short(member, physics.site) is not False:
            most = most_capacitance_f(member, physics.site)
            if most is None:
                return None
            high += member.row.quantity * most * 1e6
            continue
        farads = [driver.capacitance_f for driver in found.drivers]
        low += member.row.quantity * min(farads) * 1e6
        high += member.row.quantity * max(farads) * 1e6
    return Interval(low, high)


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


def _phase_cut(physics: Physics, share: Share, edge: Edge) -> Interval | None:
    low = high = 0.0
    for member in physics.members:
        current = quantity(member.traits, "input_current_a")
        character = member.traits.get("input_character", UNKNOWN).content
        if current is None or character is None:
            return None
        least, most = (1.0, math.sqrt(2.0) if share is _peak_share else 1.0)
        if character == "capacitive":
            shares = [share(kind, edge) for kind in _input_types(member)]
            least, most = min(s[0] for s in shares), max(s[1] for s in shares)
            if len(shares) > 1 and most > WIDEST_SHARE * least:
                return None
        low += member.row.quantity * current.low * least
        high += member.row.quantity * current.high * most
    pulse = physics.pulse() if share is _peak_share else None
    if pulse is not None:
        # A discharged capacitor at the crest draws more than a partly charged one at any angle.
        high = max(low, min(high, pulse.peak_a.high))
    return Interval(low, high) if math.isfinite(high) else None


def _input_types(member: Member) -> tuple[str, ...]:
    """The input types a driver may have: stated, or by its power factor (common practice), or any."""
    stated = member.traits.get("input_type", UNKNOWN).content
    factor = quantity(member.traits, "power_factor")
    if isinstance(stated, str):
        return (stated,)
    if factor is not None and factor.low >= 0.9:
        return ("corrected",)
    if factor is not None and factor.high <= 0.65:
        return ("bulk_capacitor",)
    return INPUT_TYPES


def _voltage_drop(physics: Physics) -> Interval | None:
    """In % of the nominal voltage: from loads spread along the cable to all at its end.

    The loss of voltage is R I1 cos phi + X I1 sin phi, and of any current, distorted or shifted, the
    part I1 cos phi is current times power factor: P = U I1 cos phi. The sign of the shift is open at
    the low end. Source: phasor diagram of a short line, textbook; Annex G of IEC 60364-5-52.
    """
    resistance = quantity(physics.site.cable.traits, "resistance_ohm_per_km")
    voltage = quantity(physics.site.supply.traits, "voltage_v")
    length = physics.values.get("circuit.cable_length_m")
    if not (resistance and voltage and isinstance(length, Interval)):
        return None
    parts = _parts_of_current(physics.members, voltage)
    if parts is None:
        return None
    active_low, active_high, shifted = parts
    cold, warm = CONDUCTOR_CELSIUS
    least = drop_spread_v(resistance_at(resistance.low, cold), length.low, active_low)
    least -= REACTANCE_OHM_PER_M * length.low * shifted
    most = drop_at_end_v(resistance_at(resistance.high, warm), length.high, active_high)
    most += 2.0 * REACTANCE_OHM_PER_M * length.high * shifted
    return Interval(100.0 * max(least, 0.0) / voltage.high, 100.0 * most / voltage.low)


def _parts_of_current(members: Sequence[Member], voltage: Interval) -> tuple[float, float, float] | None:
    """The part in step with the voltage, low and high, and the most beside it, in A; None when open."""
    low, high, beside = 0.0, 0.0, 0.0
    for member in members:
        own, factor = quantity(member.traits, "input_current_a"), quantity(member.traits, "power_factor")
        power, count = quantity(member.traits, "input_power_w"), member.row.quantity
        least, most = (factor.low, factor.high) if factor else (LEAST_POWER_FACTOR, 1.0)
        if own is None:
            # P = U I1 cos phi: the part in step follows from the watts alone.
            if power is None or voltage.low <= 0.0 or least <= 0.0:
                return None
            own = Interval(power.low / (voltage.high * most), power.high / (voltage.low * least))
            least_a, most_a = power.low / voltage.high, power.high / voltage.low
        else:
            least_a, most_a = own.low * (least if factor else 0.0), own.high * most
        low, high = low + count * least_a, high + count * most_a
        beside += count * own.high * math.sqrt(max(0.0, 1.0 - least**2))
    return low, high, beside


def _switched_cable(physics: Physics) -> Interval | None:
    """In mA, through the capacitance of what runs beside live conductors."""
    length = physics.values.get(f"circuit.{LIVE_BESIDE}")
    supply = quantities(physics.site.supply.traits, "voltage_v", "frequency_hz")
    if not isinstance(length, Interval) or supply is None:
        return None
    low, high = (
        1e3
        * cable_coupled_current_a(
            getattr(supply[0], end), getattr(supply[1], end), getattr(length, end), farad
        )
        for end, farad in zip(("low", "high"), CABLE_FARAD_PER_M, strict=True)
    )
    return Interval(low, high)


def _long_run(physics: Physics) -> Interval | None:
    """0.005 % for each metre beyond 100 m, at most 0.5 %, where IEC 60364-5-52 gives the limit."""
    length = physics.values.get("circuit.cable_length_m")
    limit = physics.site.supply.traits.get("voltage_drop_limit_percent", UNKNOWN)
    if limit.source != "S0050":
        return Interval(0.0, 0.0)
    if not isinstance(length, Interval):
        return None
    low, high = (min(0.5, 0.005 * max(0.0, end - 100.0)) for end in (length.low, length.high))
    return Interval(low, high)


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


def _of_members(make: OfMembers) -> Callable[[Physics], Content]:
    return lambda physics: make(physics.members, physics.site)


COMPUTED: dict[str, Callable[[Physics], Content]] = {
    "group_inrush_peak_a": _inrush_peak,
    "group_inrush_width_us": _inrush_width,
    "group_inrush_i2t_a2s": _inrush_i2t,
    "hot_restart_peak_a": _hot_restart_peak,
    "breaker_release_peak_a": _breaker_release,
    "forward_phase_current_a": lambda physics: _phase_cut(physics, _rms_share, "forward_phase"),
    "reverse_phase_current_a": lambda physics: _phase_cut(physics, _rms_share, "reverse_phase"),
    "forward_phase_peak_a": lambda physics: _phase_cut(physics, _peak_share, "forward_phase"),
    "likely_inrush_peak_a": _likely_peak,
    "likely_release_peak_a": _likely_release,
    "surely_held_count": _surely_held,
    "inrush_known": _inrush_known,
    "inrush_pulse_short": _pulse_short,
    "input_capacitance_uf": _input_capacitance,
    "voltage_drop_percent": _voltage_drop,
    "long_run_supplement_percent": _long_run,
    "switched_cable_current_ma": _switched_cable,
    "modulation_low_risk_percent": _modulation_limit,
    **{name: _of_members(make) for name, make in OF_MEMBERS.items()},
    "dmx_lowest_step_percent": lambda physics: lowest_step(physics.members),
    "safe_pair_stated": _safe_pair,
    "stated_values_agree": lambda physics: not any(member.contradictions for member in physics.members),
}
