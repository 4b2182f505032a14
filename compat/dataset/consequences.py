"""What follows for an output or a supply from what its entry states and leaves out.

A rating that is not stated grants nothing, and a count that is not stated limits nothing; so that such
silence is not asked about, it is written down here as what it means.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from compat.model.values import UNKNOWN, Content, Interval, Origin, TokenSet, Trait

# Nominal voltages of IEC 60038 and those that rating plates carry beside them; a plate that ends in one
# names a nominal voltage, whose supply may be a tenth higher. Any other end is the end itself.
NOMINAL_V = (100, 110, 115, 120, 125, 127, 200, 208, 220, 225, 230, 240, 250, 277, 347, 400)
TOLERANCE = 0.1
# A range up to so many times its low end is that of one nominal voltage.
NARROW = 1.45
# Ballasts and LED drivers of one channel follow the commands that all control gear knows: IEC 62386-102.
PLAIN_TYPES = frozenset({"type_0", "type_6"})
CONTACTS = ("relay", "contactor")
NOTHING_GRANTED = ("incandescent_max_w", "capacitance_max_uf", "ballast_current_max_a")
SECOND_PAIR = {"inrush_peak_2_max_a": "inrush_peak_max_a", "inrush_width_2_max_us": "inrush_width_max_us"}


def highest_supply_v(rated_v: float) -> float:
    """The highest supply in V that a rated voltage covers: a tenth above a nominal one, else itself.

    Source: 230 V plus or minus 10 %, IEC 60038 and Regulation (EU) 2019/2020 Article 2(6).
    """
    return rated_v * (1.0 + TOLERANCE) if rated_v in NOMINAL_V else rated_v


def with_consequences(subject: str, traits: Mapping[str, Trait]) -> dict[str, Trait]:
    """The traits of an entry with those that follow from them; only outputs and supplies have any."""
    made = dict(traits)
    if subject == "supply":
        # The rules of one place are asked for by the project, never by an entry of the dataset.
        made.setdefault(
            "jurisdiction", Trait("none", "derived", "S0003", _origin(traits, "", "jurisdiction"))
        )
    if subject != "output":
        return made

    def follow(name: str, content: Content, origin: str = "") -> None:
        if content is not None and traits.get(name, UNKNOWN).content is None:
            made[name] = Trait(content, "derived", "S0003", _origin(traits, origin, name))

    follow("count_stated", traits.get("max_drivers", UNKNOWN).content is not None, "max_drivers")
    follow("zero_crossing", False)
    commanded = traits.get("dali_device_types", UNKNOWN)
    if isinstance(commanded.content, TokenSet):
        made["dali_device_types"] = replace(commanded, content=with_plain_types(commanded.content))
    for name in NOTHING_GRANTED:
        follow(name, Interval(0.0, 0.0))
    for name, first in SECOND_PAIR.items():
        follow(name, traits.get(first, UNKNOWN).content, first)
    rated = traits.get("input_voltage_max_v", UNKNOWN).content
    if isinstance(rated, Interval):
        follow(
            "highest_supply_v",
            Interval(highest_supply_v(rated.low), highest_supply_v(rated.high)),
            "input_voltage_max_v",
        )
    follow("min_load_w", _least_held(traits), "holding_current_ma")
    if traits.get("switching_element", UNKNOWN).content in CONTACTS:
        follow("max_current_a", _current(traits), "max_load_w")
    return made


def with_plain_types(types: TokenSet) -> TokenSet:
    """The device types that a control commands, with those that follow the common commands alone."""
    return TokenSet(types.sure | PLAIN_TYPES, types.possible | PLAIN_TYPES)


def _origin(traits: Mapping[str, Trait], behind: str, name: str) -> Origin | None:
    """Where the entry stands, with the name of what follows."""
    stated = traits.get(behind) or next(iter(traits.values()), UNKNOWN)
    if stated.origin is None or stated.origin.key is None:
        return stated.origin
    return replace(stated.origin, key=f"{stated.origin.key.split()[0]} {name}")


def _current(traits: Mapping[str, Trait]) -> Interval | None:
    """The current of a contact whose rating is in watts at one voltage."""
    power, voltage = (traits.get(name, UNKNOWN).content for name in ("max_load_w", "max_load_at_v"))
    voltage = voltage or _rated_voltage(traits)
    if not isinstance(power, Interval) or not isinstance(voltage, Interval) or voltage.low <= 0:
        return None
    return Interval(power.low / voltage.high, power.high / voltage.low)


def _rated_voltage(traits: Mapping[str, Trait]) -> Interval | None:
    """The nominal voltage in the middle of a narrow rated range, such as 230 V of 198 to 264 V."""
    low, high = (traits.get(f"input_voltage_{end}_v", UNKNOWN).content for end in ("min", "max"))
    if not isinstance(low, Interval) or not isinstance(high, Interval) or high.high > NARROW * low.low:
        return None
    middle = (low.low + high.high) / 2.0
    nominal = float(min((120, 230, 277, 347), key=lambda volts: abs(volts - middle)))
    return Interval(nominal, nominal) if low.low <= nominal <= high.high else None


def _least_held(traits: Mapping[str, Trait]) -> Interval | None:
    """The least load of a triac by its holding current: 50 mA at 120 V are 6 W (a trade journal)."""
    held, voltage = traits.get("holding_current_ma", UNKNOWN).content, _rated_voltage(traits)
    if not isinstance(held, Interval) or voltage is None:
        return None
    return Interval(held.low * voltage.low / 1000.0, held.high * voltage.high / 1000.0)
