"""The computed traits of many lines in the database: the formulas of ``line_computed`` as SQL.

Each is a pair of expressions over the columns of one line; the ranges that the physics allows are
guards, so that what is refused there is NULL here.
"""

from __future__ import annotations

from compat.physics.cable import IEC_60228_ALPHA
from compat.physics.cable import RANGES as CABLE
from compat.physics.control_line import (
    DMX_SLOT_US,
    LOWEST_LEVEL_V,
    RANGES,
    SETTLING_MS,
    SHORTEST_BREAK_TO_BREAK_US,
    SHORTEST_BREAK_US,
    SHORTEST_MARK_US,
    dali_frame_ms,
)
from compat.physics.dmx_universes import RANGES as UNIVERSE
from compat.physics.dmx_universes import UNIVERSE_SLOTS
from compat.physics.ranges import Range
from compat.rulebook.sql import base_columns, number

Ends = tuple[str, str]
# Ends over all rows of a line that no trait of the line has: the most and the least of them.
EXTREMES = {
    "floor": "driver.dim_floor_percent",
    "full": "driver.control_full_output_v",
}


def ends(name: str) -> Ends:
    """The two columns of a quantity of the line by its bare name."""
    low, high = base_columns(f"line.{name}", "quantity")
    return low, high


def computed_ends(sources_bit: int) -> dict[str, Ends]:
    """The low and the high end of each computed trait but ``dmx_universes_needed``, by bare name.

    ``sources_bit`` is the bit of the word ``sources`` among the directions of current.
    """
    return {
        "voltage_rise_v": _rise(sources_bit),
        "level_error_percent": _level_error(),
        "dali_voltage_drop_v": _dali_drop(),
        "dali_one_by_one_s": _one_by_one(),
        "dmx_refresh_hz": _refresh(),
    }


def universes_sql() -> str:
    """A query over ``members`` with the ends of ``dmx_universes_needed`` for each line."""
    low, high = base_columns("driver.dmx_slots", "quantity")
    goal_low, goal_high = ends("dmx_universes_needed")
    slots, count = UNIVERSE["slot_count"], UNIVERSE["driver_count"]
    guard = " AND ".join(
        (
            "count(*) = count(" + low + ")",
            f"bool_and({_within(slots, low, high)})",
            f"bool_and({_within(count, 'quantity', 'quantity')})",
        )
    )
    together = f"floor({UNIVERSE_SLOTS} / size)"
    return f"""
    (WITH sized AS (
        SELECT line_index, end_name, size, sum(quantity)::DOUBLE AS n FROM (
            SELECT line_index, quantity, 'low' AS end_name, ceil({low}) AS size FROM members
            UNION ALL
            SELECT line_index, quantity, 'high' AS end_name, ceil({high}) AS size FROM members)
        WHERE size BETWEEN 1 AND {UNIVERSE_SLOTS} GROUP BY ALL),
    running AS (
        SELECT *, sum(n) OVER (PARTITION BY line_index, end_name ORDER BY size DESC) AS so_far FROM sized),
    filled AS (
        SELECT line_index, end_name,
            greatest(ceil(sum(size * n) / {UNIVERSE_SLOTS}), max(ceil(so_far / {together}))) AS least,
            least(1 + floor((sum(size * n) - min(size)) / ({UNIVERSE_SLOTS + 1} - max(size))),
                ceil(sum(n) / floor({UNIVERSE_SLOTS} / max(size)))) AS most,
            sum(ceil(n / {together})) AS apart
        FROM running GROUP BY ALL),
    guarded AS (
        SELECT line_index, {guard} AS allowed, bool_and(ceil({low}) = ceil({high})) AS is_exact
        FROM members GROUP BY line_index)
    SELECT guarded.line_index,
        CASE WHEN allowed THEN coalesce(lows.least, 0) END AS {goal_low},
        CASE WHEN NOT allowed THEN NULL WHEN highs.most IS NULL THEN 0
             WHEN is_exact THEN least(highs.most, highs.apart) ELSE highs.most END AS {goal_high}
    FROM guarded
    LEFT JOIN (FROM filled WHERE end_name = 'low') AS lows USING (line_index)
    LEFT JOIN (FROM filled WHERE end_name = 'high') AS highs USING (line_index))
    """


def _within(allowed: Range, low: str, high: str) -> str:
    above = ">=" if allowed.low_allowed else ">"
    return f"{low} {above} {number(allowed.low)} AND {high} <= {number(allowed.high)}"


def _wire_guards() -> list[str]:
    return [
        _within(CABLE["resistance_20_ohm_per_km"], *ends("cable_resistance_ohm_per_km")),
        _within(CABLE["temperature_celsius"], *ends("conductor_temperature_celsius")),
        _within(CABLE["length_m"], *ends("length_to_farthest_m")),
    ]


def _drop(end: int, current_a: str) -> str:
    """2 R l I at one end of the line's wire and length."""
    resistance, celsius, length = (
        ends(name)[end]
        for name in ("cable_resistance_ohm_per_km", "conductor_temperature_celsius", "length_to_farthest_m")
    )
    alpha = number(IEC_60228_ALPHA)
    return f"2e0 * ({resistance} * (1e0 + {alpha} * ({celsius} - 20e0))) / 1000e0 * {length} * ({current_a})"


def _guarded(guards: list[str], low: str, high: str) -> Ends:
    allowed = " AND ".join(guards)
    return f"CASE WHEN {allowed} THEN {low} END", f"CASE WHEN {allowed} THEN {high} END"


def _rise(sources_bit: int) -> Ends:
    low, high = (f"{end} / 1000e0" for end in ends("control_current_ma"))
    count = ends("driver_count")[1]
    surely, perhaps = base_columns("line.control_current_directions", "set")
    guards = [*_wire_guards(), _within(CABLE["control_current_a"], low, high)]
    guards.append(_within(RANGES["driver_count"], count, count))
    spread = f"{_drop(0, low)} * (({count} + 1e0) / (2e0 * {count}))"
    return _guarded(
        guards,
        f"(CASE WHEN ({surely} & {sources_bit}) <> 0 THEN {spread} ELSE 0e0 END)",
        f"(CASE WHEN ({perhaps} & {sources_bit}) <> 0 THEN {_drop(1, high)} ELSE 0e0 END)",
    )


def _level_error() -> Ends:
    """Over the columns of the rise, which must be there already."""
    low, high = ends("voltage_rise_v")
    guards = [
        "floor_known",
        "full_known",
        _within(RANGES["rise_v"], low, high),
        _within(RANGES["lowest_level_percent"], "floor_least", "floor_most"),
        _within(RANGES["full_output_v"], "full_least", "full_most"),
    ]
    top = number(RANGES["control_voltage_v"].high)

    def added(rise: str, floor: str, full: str) -> str:
        seen = f"least({LOWEST_LEVEL_V} + {rise}, {top})"
        share = f"({seen} - {LOWEST_LEVEL_V}) / ({full} - {LOWEST_LEVEL_V})"
        return f"({floor} + (100e0 - {floor}) * least(1e0, greatest(0e0, {share})) - {floor})"

    return _guarded(guards, added(low, "floor_most", "full_most"), added(high, "floor_least", "full_least"))


def _dali_drop() -> Ends:
    separate, integrated = ends("dali_supply_max_ma"), ends("dali_integrated_supply_ma")
    low, high = (f"({separate[end]} + {integrated[end]}) / 1000e0" for end in (0, 1))
    guards = [*_wire_guards(), _within(RANGES["current_a"], low, high)]
    return _guarded(guards, _drop(0, low), _drop(1, high))


def _one_by_one() -> Ends:
    low, high = ends("dali_addresses")
    frame = dali_frame_ms(16.0)
    shortest, longest = (number(frame + settling) for settling in SETTLING_MS)
    guards = [_within(RANGES["address_count"], low, high)]
    return _guarded(guards, f"{low} * {shortest} / 1000e0", f"{high} * {longest} / 1000e0")


def _refresh() -> Ends:
    low, high = ends("dmx_slots")
    lead = number(SHORTEST_BREAK_US + SHORTEST_MARK_US)

    def packets(slots: str) -> str:
        packet = f"{lead} + {number(DMX_SLOT_US)} * (least({slots}, {UNIVERSE_SLOTS}) + 1e0)"
        return f"1e6 / greatest({packet}, {number(SHORTEST_BREAK_TO_BREAK_US)})"

    return _guarded([f"{low} >= 0e0"], packets(high), packets(low))
