"""The inrush of a circuit over everything that is open: sure ends, and what the watts alone bound.

Sure: over the ends of all that is stated, at the lowest and the highest supply. With one inrush not
stated nothing is known, but the watts bound what it can be.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from functools import lru_cache
from typing import TYPE_CHECKING, TypeVar

from compat.engine.site import Site, quantities, quantity
from compat.model.values import UNKNOWN, Interval, TokenSet
from compat.physics.inrush import DriverInput, group_loop, pulse
from compat.physics.inrush_circuit import (
    Candidates,
    Group,
    PulseRange,
    SourceRange,
    StatedPulse,
    candidates_of,
    circuit_pulse,
)
from compat.physics.inrush_inverse import bounding_driver
from compat.physics.inrush_mixed import mixed_pulse

if TYPE_CHECKING:
    from compat.engine.gather import Member

ROOT_2 = math.sqrt(2.0)
# Where the band of the supply is not stated: 10 % either way, as IEC 60038 has it.
SUPPLY_TOLERANCE = 0.1
# A choke in the driver that no datasheet tells makes the peak of several up to 7 % higher than the fit says,
# and the heating up to 29 % for one and 22 % for two behind a stiffer source than that of the test (40,000
# loops, 130 uH to 1 mH); a warm limiter and a filter before the bridge leave less than the fit.
HIDDEN_CHOKE, HIDDEN_HEATING = 1.075, 0.32
LOW_END, LOW_WIDTH = 0.75, 0.0
# A rectifier with a reservoir capacitor keeps above 100 V between two crests of 230 V at 50 Hz only with
# 0.16 uF a watt: C (325^2 - 100^2)/2 = P 8 ms (derived). The highest in use is about 1 uF a watt (common
# practice, no source); the bound takes half as much again. For other supplies by the square of the volts.
LEAST_UF_PER_W, MOST_UF_PER_W = 0.15, 1.5
# An input made for phase cut has a film capacitor of up to 0.1 uF a watt, and a lamp with its driver in it
# a fixed resistor of 4.7 ohm at the least (common practice, no source).
MOST_FILM_UF_PER_W, LEAST_LAMP_OHM = 0.15, 4.7
BOUND_AT_V = 230.0
LARGEST_FILTER_UF = 1.0
# A cold filament has a fifteenth of its hot resistance at least (common practice, no source); it warms
# within a half cycle.
COLD_FILAMENT, COLD_FILAMENT_S = 15.0, 0.010
RATED_SPAN = 1.45
T = TypeVar("T")


def within_range(value: Callable[[], T | None]) -> T | None:
    """The value, or None where the physics says that an input is outside its range."""
    try:
        return value()
    except (ValueError, OverflowError, ZeroDivisionError):
        return None


# ---- what is sure


def sure_pulse(
    members: Sequence[Member], site: Site, hot: bool = False, *, together: bool = True
) -> PulseRange | None:
    """The inrush of all drivers over every end, up to the highest supply; None when one is not known.

    ``hot``: with limiters still warm from before a short interruption. Without ``together`` the kinds are
    added, which is never too little and quicker than the loop of all.
    """
    groups = _groups(members, site)
    source = source_of(site, "source_impedance")
    crests = _crests(site)
    if not groups or source is None or crests is None:
        return None
    found = _pulse_of(crests, source, tuple(groups), hot)
    peak_high, i2t_high = found.peak_a.high, found.i2t_a2s.high
    if len(groups) > 1 and together:
        loop = _worst_together(crests.high, source, groups, hot)
        if loop is not None:
            peak_high, i2t_high = min(peak_high, loop[0]), min(i2t_high, loop[1])
    more, hotter = hidden_choke(_count(groups))
    peak_high, i2t_high = peak_high * more, i2t_high * hotter
    return PulseRange(
        Interval(found.peak_a.low * LOW_END, peak_high),
        Interval(found.width_s.low * LOW_WIDTH, found.width_s.high),
        Interval(found.i2t_a2s.low * LOW_END**2, i2t_high),
    )


@lru_cache(maxsize=4096)
def _pulse_of(crests: Interval, source: SourceRange, groups: tuple[Group, ...], hot: bool) -> PulseRange:
    """Circuits of the same drivers, as halving and the counts of a look-up make them, are asked once."""
    return circuit_pulse(crests, source, groups, hot_restart=hot)


def _worst_together(
    crest_v: float, source: SourceRange, groups: Sequence[Group], hot: bool
) -> tuple[float, float] | None:
    """Peak and I2t of the combined loop: in each group the least resistance and the largest capacitor."""
    worst = [
        (
            DriverInput(
                0.0 if hot else min(one.resistance_ohm for one in group.candidates.drivers),
                max(one.capacitance_f for one in group.candidates.drivers),
            ),
            group.count,
        )
        for group in groups
    ]
    found = mixed_pulse(crest_v, source.resistance_ohm.low, source.inductance_h.low, worst)
    # The steps of the integration are a hundredth of a period: half a per cent covers them.
    return None if found is None else (found.peak_a * 1.005, found.i2t_a2s * 1.01)


def hidden_choke(count: int) -> tuple[float, float]:
    """By how much a hidden choke may raise the peak and the heating of so many drivers; see HIDDEN_CHOKE."""
    return HIDDEN_CHOKE if count > 1 else 1.0, 1.0 + HIDDEN_HEATING / math.sqrt(count)


def _count(groups: Sequence[Group]) -> int:
    return sum(group.count for group in groups)


def _groups(members: Sequence[Member], site: Site) -> list[Group] | None:
    """The drivers of a circuit by type: rows of one driver, and rows that state the same, are one."""
    counts: dict[tuple[object, Candidates], int] = {}
    for member in members:
        candidates = candidates_of_member(member, site)
        if candidates is None or pulse_too_short(member, site) is not False:
            return None
        kind = (member.row.driver_id, candidates)
        counts[kind] = counts.get(kind, 0) + member.row.quantity
    return [Group(candidates, count) for (_, candidates), count in counts.items()]


def candidates_of_member(member: Member, site: Site) -> Candidates | None:
    """The inputs that the stated inrush of a driver leaves possible; None when it is not stated."""
    stated, behind = stated_pulse(member), test_source_of(member, site)
    voltage = test_voltage_of(member, site)
    if stated is None or behind is None or voltage is None:
        return None
    peak, width = stated
    ends = dict.fromkeys((voltage.low, voltage.high))
    found = [_fitted(peak, width, ROOT_2 * volts, behind) for volts in ends]
    if len(found) == 1:
        return found[0]
    return Candidates(
        tuple(dict.fromkeys(driver for one in found for driver in one.drivers)),
        frozenset().union(*(one.outcomes for one in found)),
        any(one.bounding for one in found),
    )


def test_voltage_of(member: Member, site: Site) -> Interval | None:
    """The supply at which the inrush was stated: as stated, else the rated one.

    A driver for one nominal voltage was tested at it; one for several may have been at either end.
    """
    stated = quantity(member.traits, "inrush_test_voltage_v")
    nominal = quantity(site.supply.traits, "voltage_v")
    rated = quantities(member.traits, "input_voltage_min_v", "input_voltage_max_v")
    if stated is not None or nominal is None or rated is None:
        return stated or nominal
    low, high = rated[0].low, rated[1].high
    if low <= 0 or high <= RATED_SPAN * low:
        return nominal
    return Interval(min(nominal.low, max(low, 1.0)), max(nominal.high, min(high, 277.0)))


def stated_pulse(member: Member) -> tuple[Interval, Interval] | None:
    stated = quantities(member.traits, "inrush_peak_a", "inrush_width_us")
    if stated is None or stated[0].low <= 0 or stated[1].low <= 0:
        return None
    peak, width = stated
    return peak, Interval(width.low * 1e-6, width.high * 1e-6)


def test_source_of(member: Member, site: Site) -> SourceRange | None:
    test = quantities(member.traits, "inrush_test_resistance_ohm", "inrush_test_inductance_uh")
    if test is None:
        return source_of(site, "inrush_test_source")
    return SourceRange(test[0], Interval(test[1].low * 1e-6, test[1].high * 1e-6))


@lru_cache(maxsize=4096)
def _fitted(peak_a: Interval, width_s: Interval, crest_v: float, source: SourceRange) -> Candidates:
    return candidates_of(StatedPulse(peak_a, width_s, crest_v, source))


def source_of(site: Site, subject: str) -> SourceRange | None:
    """A source of the site in ohm and henry."""
    found = quantities(site.traits(subject), "resistance_ohm", "inductance_uh")
    if found is None:
        return None
    resistance, inductance = found
    return SourceRange(resistance, Interval(inductance.low * 1e-6, inductance.high * 1e-6))


def _crests(site: Site) -> Interval | None:
    """From the crest of the lowest supply to that of the highest."""
    nominal = quantity(site.supply.traits, "voltage_v")
    if nominal is None:
        return None
    least = quantity(site.supply.traits, "voltage_min_v") or nominal
    most = quantity(site.supply.traits, "voltage_max_v")
    highest = most.high if most else nominal.high * (1.0 + SUPPLY_TOLERANCE)
    return Interval(ROOT_2 * min(least.low, nominal.low), ROOT_2 * max(highest, nominal.high))


# ---- what the watts say of a pulse


def pulse_too_short(member: Member, site: Site) -> bool | None:
    """Whether the stated pulse carries less charge than the reservoir capacitor of its watts needs.

    False for inputs that need no reservoir before the output: loads without a rectifier, corrected
    inputs and those made for phase cut. The charge of a pulse is at most peak times width over the
    crest and ln 2 (see ``bounding_driver``). Source: derived.
    """
    told = member.traits.get("inrush_pulse", UNKNOWN).content
    if told is not None:
        return told == "filter"
    stated, power = stated_pulse(member), quantity(member.traits, "input_power_w")
    voltage = test_voltage_of(member, site)
    if stated is None or not _has_reservoir(member):
        return False
    if voltage is None:
        return None
    most_uf = bounding_driver(stated[0].high, stated[1].high, ROOT_2 * voltage.low).capacitance_f * 1e6
    if power is None:
        # Without the watts only a pulse that is more than any filter's stands for itself.
        return False if most_uf >= LARGEST_FILTER_UF else None
    return most_uf < LEAST_UF_PER_W * power.low * (BOUND_AT_V / voltage.high) ** 2


def _has_reservoir(member: Member) -> bool:
    """Whether the input may have a reservoir capacitor straight behind the rectifier."""
    kind = member.traits.get("input_type", UNKNOWN).content
    character = member.traits.get("input_character", UNKNOWN).content
    if kind is not None or character not in (None, "capacitive"):
        return kind == "bulk_capacitor"
    if _made_for_phase_cut(member, sure=False):
        return False
    factor = quantity(member.traits, "power_factor")
    return factor is None or factor.low < 0.9


def _made_for_phase_cut(member: Member, *, sure: bool) -> bool:
    methods = member.traits.get("methods", UNKNOWN).content
    if not isinstance(methods, TokenSet):
        return False
    return bool((methods.sure if sure else methods.possible) & {"forward_phase", "reverse_phase"})


def bound_by_watts(members: Sequence[Member], site: Site) -> tuple[float, float] | None:
    """Peak (A) and I2t (A2s) that the inrush surely does not exceed; None when the watts are open too.

    Stated pulses as they are; filament lamps 15 times their crest; other loads a capacitor of 1.5 uF a
    watt, 0.15 uF if made for phase cut, behind the source at its stiffest. The parts are added, which is
    never too little.
    """
    source, crests = source_of(site, "source_impedance"), _crests(site)
    if source is None or crests is None:
        return None
    peak = heating = 0.0
    for member in members:
        part = _bound_of(member, site, source, crests.high)
        if part is None:
            return None
        peak, heating = peak + part[0], heating + math.sqrt(part[1])
    return peak, heating**2


def _bound_of(member: Member, site: Site, source: SourceRange, crest_v: float) -> tuple[float, float] | None:
    count = member.row.quantity
    candidates = candidates_of_member(member, site)
    if candidates is not None and pulse_too_short(member, site) is False:
        found = circuit_pulse(Interval(crest_v, crest_v), source, [Group(candidates, count)])
        more, hotter = hidden_choke(count)
        return found.peak_a.high * more, found.i2t_a2s.high * hotter
    power = quantity(member.traits, "input_power_w")
    if power is None:
        return None
    if member.traits.get("load_type", UNKNOWN).content == "incandescent":
        peak = COLD_FILAMENT * count * power.high * ROOT_2 / (crest_v / ROOT_2)
        return peak, peak**2 * COLD_FILAMENT_S / 2.0
    driver = bound_driver(member, site)
    if driver is None:
        return None
    one = pulse(crest_v, group_loop(source.resistance_ohm.low, source.inductance_h.low, driver, count))
    return one.peak_a, one.i2t_a2s


def bound_driver(member: Member, site: Site) -> DriverInput | None:
    """The input with the largest pulse that a capacitive load of these watts may have."""
    farad = most_capacitance_f(member, site)
    if farad is None or farad == 0.0:
        return None
    lamp = member.traits.get("load_type", UNKNOWN).content == "integral_lamp"
    return DriverInput(LEAST_LAMP_OHM if lamp else 0.0, farad)


def most_capacitance_f(member: Member, site: Site) -> float | None:
    """The largest input capacitor in F of a load of these watts, 0 for one without a rectifier."""
    power, nominal = quantity(member.traits, "input_power_w"), quantity(site.supply.traits, "voltage_v")
    character = member.traits.get("input_character", UNKNOWN).content
    if character in ("resistive", "inductive"):
        return 0.0
    if power is None or nominal is None or nominal.low <= 0.0:
        return None
    per_watt = MOST_FILM_UF_PER_W if _made_for_phase_cut(member, sure=True) else MOST_UF_PER_W
    return per_watt * power.high * 1e-6 * max(1.0, BOUND_AT_V / nominal.low) ** 2
