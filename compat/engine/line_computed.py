"""Traits of a line that physics gives: voltage rise and drop, times, refresh rate, universes.

Every result is an interval or unknown. An unknown input makes the result unknown.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from compat.engine.dmx_steps import lowest_step
from compat.engine.members import Member
from compat.engine.site import quantity
from compat.model.values import UNKNOWN, Content, Interval, TokenSet
from compat.physics.control_line import (
    SETTLING_MS,
    dali_drop_v,
    dali_one_by_one_s,
    dmx_refresh_hz,
    level_error_percent,
    rise_lumped_v,
    rise_spread_v,
)
from compat.physics.dmx_universes import UNIVERSE_SLOTS, universes_between

# The traits of the line that each result needs, so that a question can name the one that is open.
NEEDS: dict[str, tuple[str, ...]] = {
    "voltage_rise_v": (
        "control_current_ma", "control_current_directions", "cable_resistance_ohm_per_km",
        "conductor_temperature_celsius", "length_to_farthest_m",
    ),
    "level_error_percent": (
        "control_current_ma", "control_current_directions", "cable_resistance_ohm_per_km",
        "conductor_temperature_celsius", "length_to_farthest_m", "dim_floor_percent",
        "control_full_output_v",
    ),
    "dali_voltage_drop_v": (
        "dali_supply_max_ma", "dali_integrated_supply_ma", "cable_resistance_ohm_per_km",
        "conductor_temperature_celsius", "length_to_farthest_m",
    ),
    "dali_idle_drop_v": (
        "dali_current_ma", "dali_control_device_current_ma", "cable_resistance_ohm_per_km",
        "conductor_temperature_celsius", "length_to_farthest_m",
    ),
    "dali_one_by_one_s": ("dali_addresses",),
    "colour_by_several_channels": (),
    "dali_version_1_gear": (),
    "safe_wiring_stated": (),
    "safe_terminals_known": (),
    "controls": (),
    "control_directions_stated": (),
    "dali_addressings_stated": (),
    "breakers": (),
    "dmx_zone_slots": (),
    "refusing_drivers": (),
    "dmx_lowest_step_percent": (),
    "dmx_refresh_hz": ("dmx_slots",),
    "dmx_universes_needed": ("dmx_slots",),
}  # fmt: skip


def compute_line(values: Mapping[str, Content], members: Sequence[Member]) -> dict[str, Content]:
    """All computed traits of a line by full name; a value outside a model's range is unknown."""
    found: dict[str, Callable[[], Content]] = {
        "voltage_rise_v": lambda: _rise(values),
        "level_error_percent": lambda: _level_error(values, members),
        "dali_voltage_drop_v": lambda: _dali_drop(values, "dali_supply_max_ma", "dali_integrated_supply_ma"),
        "dali_idle_drop_v": lambda: _idle_drop(values),
        "colour_by_several_channels": lambda: _several_channels(members),
        "dali_version_1_gear": lambda: _version_1(members),
        "safe_wiring_stated": lambda: _safe_wiring(values),
        "safe_terminals_known": lambda: _safe_terminals(values),
        "dmx_lowest_step_percent": lambda: lowest_step(members),
        "dali_one_by_one_s": lambda: _one_by_one(values),
        "dmx_refresh_hz": lambda: _refresh(values),
        "dmx_universes_needed": lambda: _universes(members),
    }
    return {f"line.{name}": _within_range(value) for name, value in found.items()}


def _within_range(value: Callable[[], Content]) -> Content:
    try:
        return value()
    except (ValueError, OverflowError, ZeroDivisionError):
        return None


def _known(values: Mapping[str, Content], *names: str) -> list[Interval] | None:
    found = [content for name in names if isinstance(content := values.get(f"line.{name}"), Interval)]
    return found if len(found) == len(names) else None


def _rise(values: Mapping[str, Content]) -> Interval | None:
    """From drivers spread along the pair to all at its end; none where no driver sources current."""
    known = _known(
        values,
        "control_current_ma",
        "driver_count",
        "cable_resistance_ohm_per_km",
        "conductor_temperature_celsius",
        "length_to_farthest_m",
    )
    directions = values.get("line.control_current_directions")
    if known is None or not isinstance(directions, TokenSet):
        return None
    current, count, resistance, celsius, length = known
    low = rise_spread_v(resistance.low, celsius.low, length.low, current.low / 1000.0, count.high)
    high = rise_lumped_v(resistance.high, celsius.high, length.high, current.high / 1000.0)
    surely, perhaps = "sources" in directions.sure, "sources" in directions.possible
    return Interval(low if surely else 0.0, high if perhaps else 0.0)


def _level_error(values: Mapping[str, Content], members: Sequence[Member]) -> Interval | None:
    """Of the driver that dims least to the one that the rise lifts most, wherever they stand."""
    rise = _rise(values)
    floors = [quantity(member.traits, "dim_floor_percent") for member in members]
    fulls = [quantity(member.traits, "control_full_output_v") for member in members]
    known_floors = [floor for floor in floors if floor is not None]
    known_fulls = [full for full in fulls if full is not None]
    if rise is None or len(known_floors) < len(floors) or len(known_fulls) < len(fulls):
        return None
    least = level_error_percent(
        rise.low, max(floor.high for floor in known_floors), max(full.high for full in known_fulls)
    )
    most = level_error_percent(
        rise.high, min(floor.low for floor in known_floors), min(full.low for full in known_fulls)
    )
    return Interval(least, most)


def _dali_drop(values: Mapping[str, Content], *currents: str) -> Interval | None:
    """To the farthest device with the currents of these names flowing all the way.

    While it holds the line low it takes all that the supplies give; while nobody sends, the line
    carries what its members take.
    """
    wire = ("cable_resistance_ohm_per_km", "conductor_temperature_celsius", "length_to_farthest_m")
    known, flowing = _known(values, *wire), _known(values, *currents)
    if known is None or flowing is None:
        return None
    resistance, celsius, length = known
    low, high = (
        dali_drop_v(ohm, temperature, metres, sum(milliamperes) / 1000.0)
        for ohm, temperature, metres, milliamperes in (
            (resistance.low, celsius.low, length.low, [part.low for part in flowing]),
            (resistance.high, celsius.high, length.high, [part.high for part in flowing]),
        )
    )
    return Interval(low, high)


def _idle_drop(values: Mapping[str, Content]) -> Interval | None:
    """With the current that the members take; where it is not known, up to what the supplies give."""
    try:
        taken = _dali_drop(values, "dali_current_ma", "dali_control_device_current_ma")
    except ValueError:
        # More than any wire carries is no knowledge: what the supplies give bounds it.
        taken = None
    if taken is not None:
        return taken
    most = _dali_drop(values, "dali_supply_max_ma", "dali_integrated_supply_ma")
    return None if most is None else Interval(0.0, most.high)


def _version_1(members: Sequence[Member]) -> Interval:
    """Gear that is known to be of version 1; of what nobody states there may be more."""
    count = sum(
        member.row.quantity
        for member in members
        if member.traits.get("dali_version", UNKNOWN).content == "version_1"
    )
    return Interval(float(count), float(count))


def _several_channels(members: Sequence[Member]) -> bool | None:
    """Whether some gear of colours is surely of another type than 8; None where that is open."""
    told: list[bool | None] = []
    for member in members:
        colour, device = (member.traits.get(name, UNKNOWN).content for name in ("colour", "dali_device_type"))
        if device == "type_8" or colour in ("none", "dim_to_warm"):
            told.append(False)
        else:
            told.append(None if colour is None or device is None else True)
    return True if True in told else None if None in told else False


def _safe_wiring(values: Mapping[str, Content]) -> bool:
    """Whether somebody says that the line is run as SELV or class 2 wiring."""
    names = {"analog_pair": "wired_as_selv", "dali_line": "nec_class_2"}
    name = names.get(str(values.get("line.kind")))
    return name is not None and values.get(f"line.{name}") is True


def _safe_terminals(values: Mapping[str, Content]) -> bool:
    """Whether the terminals of every driver and of the control are known to be SELV."""
    gear = values.get("line.control_insulations") == TokenSet.exactly("selv")
    return gear and values.get("line.output_insulation") == "selv"


def _one_by_one(values: Mapping[str, Content]) -> Interval | None:
    known = _known(values, "dali_addresses")
    if known is None:
        return None
    shortest, longest = SETTLING_MS
    return Interval(dali_one_by_one_s(known[0].low, shortest), dali_one_by_one_s(known[0].high, longest))


def _refresh(values: Mapping[str, Content]) -> Interval | None:
    """Of the fullest universe: no more than 512 slots are in one."""
    known = _known(values, "dmx_slots")
    if known is None:
        return None
    return Interval(
        dmx_refresh_hz(min(known[0].high, float(UNIVERSE_SLOTS))),
        dmx_refresh_hz(min(known[0].low, float(UNIVERSE_SLOTS))),
    )


def _universes(members: Sequence[Member]) -> Interval | None:
    slots = [quantity(member.traits, "dmx_slots") for member in members]
    known = [
        (footprint, member.row.quantity)
        for footprint, member in zip(slots, members, strict=True)
        if footprint is not None
    ]
    return universes_between(known) if len(known) == len(slots) else None
