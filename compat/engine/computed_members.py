"""Traits of a circuit that compare figures of one driver with each other, driver by driver.

A comparison between drivers would mix what belongs to one with what belongs to another, so each is
made within its row; the circuit has the worst of them. Rows that state neither side are left out.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING

from compat.dataset.consequences import highest_supply_v
from compat.engine.site import Site, quantity
from compat.model.values import UNKNOWN, Content, Interval, Trait
from compat.physics.light_source_law import greatest_on_mode_power_w

if TYPE_CHECKING:
    from compat.engine.gather import Member

OfMembers = Callable[[Sequence["Member"], Site], Content]
# Core to core of a cable of house wiring, in F/m: 100 pF and upwards (a technical page) to 150 pF (memory).
CABLE_FARAD_PER_M = (100e-12, 150e-12)
# Rectifier lamps were measured from 0.47 up; the least that is met is taken as 0.3 (common practice).
LEAST_POWER_FACTOR = 0.3
NO_BOUND_A = 1e9
MOST_LEAKAGE_MA = 3.5
# No LED light source: what the law asks of those says nothing of these.
NO_LED = ("incandescent", "fluorescent", "motor", "electronic_transformer", "magnetic_transformer")
# Least displacement factor at full output by input watts: Regulation (EU) 2019/2020, Annex II, Table 4.
DISPLACEMENT_LEAST = ((5.0, 0.0), (10.0, 0.5), (25.0, 0.7), (math.inf, 0.9))


def _power(members: Sequence[Member], capacitive: bool) -> Content:
    """The watts of the loads that draw pulses, or of the others, added."""
    low = high = 0.0
    for member in members:
        power = quantity(member.traits, "input_power_w")
        character = member.traits.get("input_character", UNKNOWN).content
        if power is None:
            return None
        if character is None:
            high += member.row.quantity * power.high
        elif (character == "capacitive") == capacitive:
            low += member.row.quantity * power.low
            high += member.row.quantity * power.high
    return Interval(low, high)


def _greatest_current(members: Sequence[Member], site: Site) -> Content:
    """Where a current is not stated: the most that the watts can draw; where all are, no bound is needed."""
    voltage = quantity(site.supply.traits, "voltage_v")
    total, stated = 0.0, True
    for member in members:
        current, power = quantity(member.traits, "input_current_a"), quantity(member.traits, "input_power_w")
        factor = quantity(member.traits, "power_factor")
        if current is not None:
            total += member.row.quantity * current.high
            continue
        stated = False
        if power is None or voltage is None:
            return None
        least = factor.low if factor and factor.low > 0 else LEAST_POWER_FACTOR
        total += member.row.quantity * power.high / (voltage.low * least)
    return Interval(NO_BOUND_A, NO_BOUND_A) if stated else Interval(total, total)


def _greatest_leakage(members: Sequence[Member], site: Site) -> Content:
    """Where a protective conductor current is not stated: 3.5 mA a luminaire, the limit of IEC 60598-1."""
    total, stated = 0.0, True
    for member in members:
        own = quantity(member.traits, "protective_conductor_current_ma")
        stated = stated and own is not None
        total += member.row.quantity * (own.high if own else MOST_LEAKAGE_MA)
    return Interval(NO_BOUND_A, NO_BOUND_A) if stated else Interval(total, total)


def _highest_supply(members: Sequence[Member], site: Site) -> Content:
    """The highest nominal supply that every rating plate covers."""
    low = high = math.inf
    for member in members:
        rated = quantity(member.traits, "input_voltage_max_v")
        if rated is None:
            return None
        low = min(low, highest_supply_v(rated.low))
        high = min(high, highest_supply_v(rated.high))
    return Interval(low, high)


def connected_w(traits: Mapping[str, Trait]) -> Interval | None:
    """What is connected to the output side in W: as stated, or the strip by its length."""
    load = quantity(traits, "lamp_load_w")
    length, per_m = quantity(traits, "led_strip_length_m"), quantity(traits, "led_strip_w_per_m")
    if load is None and length is not None and per_m is not None:
        return Interval(length.low * per_m.low, length.high * per_m.high)
    return load


def _shares(
    members: Sequence[Member], site: Site, rating: str, worst: Callable[[list[float]], float]
) -> Content:
    """Connected load over a rating of the output side, the worst of all drivers that state both."""
    lows, highs = [], []
    for member in members:
        load, rated = connected_w(member.traits), quantity(member.traits, rating)
        if load is None and rated is None:
            continue
        if rating == "output_min_load_w" and rated is None:
            kind = member.traits.get("load_type", UNKNOWN).content
            if kind not in (None, "electronic_transformer"):
                continue
        if load is None or rated is None:
            if site.usual is not None:
                # Usually a driver is chosen by what it feeds.
                continue
            return None
        if rated.low <= 0.0:
            if rating == "output_max_load_w" or rated.high > 0.0:
                return None
            continue
        lows.append(load.low / rated.high)
        highs.append(load.high / rated.low)
    # Where no driver states anything the share is that of a load that fits.
    return Interval(worst(lows), worst(highs)) if lows else Interval(1.0, 1.0)


def _load_stated(members: Sequence[Member], site: Site) -> Content:
    return any(connected_w(member.traits) is not None for member in members)


def _voltage_in_window(members: Sequence[Member], site: Site) -> Content:
    """Whether the voltage of the LEDs lies in the window of its driver; None when it may or may not.

    A constant-voltage driver has one rated voltage, which that of the strip has to be, within 5 %.
    """
    told: list[bool | None] = []
    for member in members:
        leds = quantity(member.traits, "led_voltage_v")
        if leds is None:
            continue
        low, high = (quantity(member.traits, f"output_voltage_{end}_v") for end in ("min", "max"))
        kind = member.traits.get("load_type", UNKNOWN).content
        answers = [] if kind == "constant_voltage_driver" and high is not None else [_within(leds, low, high)]
        if kind in (None, "constant_voltage_driver") and high is not None:
            answers.append(_within(leds, _times(0.95, high), _times(1.05, high)))
        # Of a driver of unknown kind it is only known where both readings agree.
        told.append(answers[0] if len(set(answers)) == 1 else None)
    if any(one is False for one in told):
        return False
    return None if any(one is None for one in told) else True


def _times(factor: float, value: Interval) -> Interval:
    return Interval(factor * value.low, factor * value.high)


def _within(value: Interval, low: Interval | None, high: Interval | None) -> bool | None:
    if (low is not None and value.high < low.low) or (high is not None and value.low > high.high):
        return False
    if low is None or high is None:
        return None
    return True if value.low >= low.high and value.high <= high.low else None


def _current_share(members: Sequence[Member], site: Site) -> Content:
    lows, highs = [0.0], [0.0]
    for member in members:
        most = quantity(member.traits, "led_current_max_ma")
        if most is None:
            continue
        given = quantity(member.traits, "output_current_ma")
        if given is None or most.low <= 0:
            return None
        lows.append(given.low / most.high)
        highs.append(given.high / most.low)
    return Interval(max(lows), max(highs))


def _ambient(members: Sequence[Member], site: Site) -> Content:
    stated = [rated for member in members if (rated := quantity(member.traits, "ambient_max_celsius"))]
    if not stated:
        return None
    return Interval(min(one.low for one in stated), min(one.high for one in stated))


def _ambient_stated(members: Sequence[Member], site: Site) -> Content:
    return any(quantity(member.traits, "ambient_max_celsius") for member in members)


def _displacement_short(members: Sequence[Member], site: Site) -> Content:
    """Whether a displacement factor is below what the law asks; None when it may be."""
    told: list[bool | None] = []
    for member in members:
        factor, power = (
            quantity(member.traits, "displacement_factor"),
            quantity(member.traits, "input_power_w"),
        )
        kind = member.traits.get("load_type", UNKNOWN).content
        if kind in NO_LED or (power is not None and power.high <= DISPLACEMENT_LEAST[0][0]):
            continue
        if factor is None or power is None:
            told.append(None)
            continue
        asked = [least_displacement_factor(end) for end in (power.low, power.high)]
        told.append(True if factor.high < asked[0] else None if factor.low < asked[1] else False)
    if any(one is True for one in told):
        return True
    return None if any(one is None for one in told) else False


def _dim_to_warm_beside_others(members: Sequence[Member], site: Site) -> Content:
    """Whether known dim-to-warm gear dims beside other gear; None beside gear of which no colour is known."""
    colours = {member.traits.get("colour", UNKNOWN).content for member in members}
    if "dim_to_warm" not in colours or len(colours) == 1:
        return False
    return None if colours == {"dim_to_warm", None} else True


def _flux_stated(members: Sequence[Member], site: Site) -> Content:
    return any(_flux_of(member) for member in members)


def _flux_of(member: Member) -> Interval | None:
    """The luminous flux of a lamp; of separate gear the law speaks elsewhere."""
    is_lamp = member.traits.get("load_type", UNKNOWN).content == "integral_lamp"
    return quantity(member.traits, "luminous_flux_lumen") if is_lamp else None


def _on_mode_above_law(members: Sequence[Member], site: Site) -> Content:
    """Whether a lamp of stated flux takes more than the law allows; None when it may."""
    told: list[bool | None] = []
    for member in members:
        flux, power = _flux_of(member), quantity(member.traits, "input_power_w")
        if flux is None:
            continue
        limit = greatest_on_mode_power_w(flux, quantity(member.traits, "colour_rendering_index"))
        if power is None:
            told.append(None)
        else:
            told.append(True if power.low > limit.high else None if power.high > limit.low else False)
    return True if True in told else None if None in told else False


def least_displacement_factor(input_power_w: float) -> float:
    """The least displacement factor at full output that EU law asks of a light source of these watts.

    0 up to 5 W, 0.5 up to 10 W, 0.7 up to 25 W, 0.9 above. Source: Regulation (EU) 2019/2020, Annex II,
    Table 4, read.
    """
    return next(least for watts, least in DISPLACEMENT_LEAST if input_power_w <= watts)


OF_MEMBERS: dict[str, OfMembers] = {
    "capacitive_power_w": lambda members, site: _power(members, True),
    "other_power_w": lambda members, site: _power(members, False),
    "protective_current_bound_ma": _greatest_leakage,
    "highest_supply_v": _highest_supply,
    "greatest_current_a": _greatest_current,
    "connected_load_share": lambda members, site: _shares(members, site, "output_max_load_w", max),
    "connected_least_share": lambda members, site: _shares(members, site, "output_min_load_w", min),
    "connected_load_stated": _load_stated,
    "led_voltage_in_window": _voltage_in_window,
    "led_current_share": _current_share,
    "driver_ambient_max_celsius": _ambient,
    "driver_ambient_stated": _ambient_stated,
    "displacement_factor_short": _displacement_short,
    "dim_to_warm_beside_others": _dim_to_warm_beside_others,
    "luminous_flux_stated": _flux_stated,
    "on_mode_power_above_law": _on_mode_above_law,
}
