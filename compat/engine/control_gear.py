"""What follows for control gear from its method, and what the method follows from, where nobody states it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from compat.model.values import UNKNOWN, Basis, Interval, TokenSet, Trait
from compat.physics.control_levels import (
    HIGHEST_LEVEL,
    Curve,
    dali_level,
    dali_light_percent,
    perceived_percent,
)

IEC_62386_102 = "S0102"
COMMON_PRACTICE = "S0001"
# At most 2 mA is taken by one control gear.
DALI_CURRENT = Trait(Interval(0.0, 2.0), "standard", IEC_62386_102)
# The curve in which gear is delivered.
DALI_CURVE = Trait("logarithmic", "standard", IEC_62386_102)
# A bus supply built into gear is a feature that its maker names.
NO_INTEGRATED_SUPPLY = Trait(Interval(0.0, 0.0), "common_practice", COMMON_PRACTICE)
# No receiver is a larger load than the unit; the smallest in use is an eighth of it.
DMX_UNIT_LOADS = Trait(Interval(0.125, 1.0), "common_practice", COMMON_PRACTICE)
# Level and colour temperature as two values are the Tc type of device type 8.
COLOUR_TYPE = {"tunable_white": Trait("tc", "derived", "S0003")}
NO_COLOUR_TYPE = Trait("none", "derived", "S0003")
# Where gear that goes off by its 0-10 V signal does so: near 0.5 V where it sources the current, as the
# draft of ANSI C137.1 has it, and lower where it sinks it, as stage lighting takes 0 V for off.
OFF_V = {"sources": Interval(0.3, 0.6), "sinks": Interval(0.1, 0.5)}
OF_METHOD: dict[str, dict[str, Trait]] = {
    "dali": {
        "dali_current_ma": DALI_CURRENT,
        "dali_integrated_supply_ma": NO_INTEGRATED_SUPPLY,
        "dimming_curve": DALI_CURVE,
    },
    "dmx": {"dmx_unit_loads": DMX_UNIT_LOADS},
}


# Traits that only gear of a method has: who states one of them states the method.
SIGNS = {
    "analog_0_10v": (
        "control_current_ma", "control_current_direction", "control_full_output_v", "control_off_v",
        "off_by_control_signal",
    ),
    "dali": ("dali_device_type", "dali_version", "dali_addresses", "dali_current_ma", "dali_colour_type"),
    "dmx": ("dmx_slots", "dmx_unit_loads", "dmx_bits"),
}  # fmt: skip


def methods_by_signs(stated: Mapping[str, Trait], every: frozenset[str]) -> Trait | None:
    """The methods of gear that states none but figures of one; ``every`` method may be among the others."""
    sure = {method for method, names in SIGNS.items() if any(not _open(stated, name) for name in names)}
    return Trait(TokenSet(frozenset(sure), every), "derived", "S0003") if sure else None


def usual_traits(traits: Mapping[str, Trait]) -> dict[str, Trait]:
    """The traits that follow from the methods gear surely accepts and that it does not state itself."""
    methods = traits.get("methods", UNKNOWN).content
    if not isinstance(methods, TokenSet):
        return {}
    found = {
        name: trait
        for method, usual in OF_METHOD.items()
        if method in methods.sure
        for name, trait in usual.items()
        if _open(traits, name)
    }
    if "analog_0_10v" in methods.sure:
        found.update(_off_threshold(traits))
    if "dali" in methods.sure:
        found.update(_dali_levels({**traits, **found}))
    colour_type = _colour_type(traits)
    if colour_type is not None and _open(traits, "dali_colour_type"):
        device = traits.get("dali_device_type", UNKNOWN)
        found["dali_colour_type"] = replace(colour_type, basis=_basis(device))
    return found


def _off_threshold(traits: Mapping[str, Trait]) -> dict[str, Trait]:
    """The usual threshold of gear that goes off by the signal and does not state at which voltage."""
    volts = OFF_V.get(str(_content(traits, "control_current_direction")))
    if volts is None or _content(traits, "off_by_control_signal") is not True:
        return {}
    if not _open(traits, "control_off_v"):
        return {}
    return {"control_off_v": Trait(volts, "common_practice", COMMON_PRACTICE)}


def seen_floor(traits: Mapping[str, Trait]) -> dict[str, Trait]:
    """How bright the lowest level looks, where it is known."""
    floor = traits.get("dim_floor_percent", UNKNOWN)
    if not (isinstance(floor.content, Interval) and floor.content.high <= 100.0):
        return {}
    seen = Interval(perceived_percent(floor.content.low), perceived_percent(floor.content.high))
    return {"dim_floor_seen_percent": Trait(seen, _basis(floor), "S0003", floor.origin)}


def _basis(source: Trait) -> Basis:
    """What rests on a usual value is usual as well."""
    return "usual" if source.basis == "usual" else "derived"


def _dali_levels(traits: Mapping[str, Trait]) -> dict[str, Trait]:
    """The lowest light and the physical minimum level of DALI gear, one from the other by its curve."""
    stated = _content(traits, "dimming_curve")
    curves: dict[object, Curve] = {"logarithmic": "logarithmic", "linear": "linear"}
    if stated not in curves:
        return {}
    curve = curves[stated]
    floor, level = (traits.get(name, UNKNOWN) for name in ("dim_floor_percent", "dali_lowest_level"))
    if isinstance(floor.content, Interval) and level.content is None:
        if not 0 < floor.content.low <= floor.content.high <= 100:
            return {}
        ends = [float(dali_level(end, curve)) for end in (floor.content.low, floor.content.high)]
        return {"dali_lowest_level": Trait(Interval(*ends), _basis(floor), IEC_62386_102, floor.origin)}
    if isinstance(level.content, Interval) and floor.content is None:
        if not 1 <= level.content.low <= level.content.high <= HIGHEST_LEVEL:
            return {}
        ends = [dali_light_percent(end, curve) for end in (level.content.low, level.content.high)]
        return {"dim_floor_percent": Trait(Interval(*ends), "derived", IEC_62386_102, level.origin)}
    return {}


def _colour_type(traits: Mapping[str, Trait]) -> Trait | None:
    """How DALI gear takes its colour, where its device type and its colour channels leave no choice."""
    device_type = _content(traits, "dali_device_type")
    if device_type != "type_8":
        return NO_COLOUR_TYPE if isinstance(device_type, str) else None
    return COLOUR_TYPE.get(str(_content(traits, "colour")))


def _open(traits: Mapping[str, Trait], name: str) -> bool:
    return traits.get(name, UNKNOWN).content is None


def _content(traits: Mapping[str, Trait], name: str) -> object:
    return traits.get(name, UNKNOWN).content
