"""The inrush of whole circuits as one DuckDB query; meaning and sources as in ``inrush_circuit``.

The relation has one row for each circuit, group of equal drivers, and candidate of that group:
a circuit column, a group column, driver_count, driver_resistance_ohm, driver_capacitance_f,
bounding (BOOLEAN, true for a candidate of the bounding kind), and the ends of the source and crest
that the circuit sees: crest_low_v, crest_high_v, source_resistance_low_ohm and _high_ohm,
source_inductance_low_h and _high_h. The result has one row a circuit with peak_low_a, peak_high_a,
width_low_s, width_high_s, i2t_low_a2s, i2t_high_a2s; a bound is NULL when any row it rests on does
not have it.
"""

from __future__ import annotations

from compat.physics.inrush_circuit import BRIDGE_DROP_V, SINE_ALLOWANCE
from compat.physics.inrush_sql import GROUP_PULSE
from compat.physics.staged import every, identifier, number

_STRONG = {
    "crest_v": "crest_high_v",
    "source_resistance_ohm": "source_resistance_low_ohm",
    "source_inductance_h": "source_inductance_low_h",
    "driver_inductance_h": "physics_zero",
    "driver_resistance_ohm": "physics_hottest_ohm",
}
_WEAK = {
    "crest_v": "physics_weak_crest_v",
    "source_resistance_ohm": "source_resistance_high_ohm",
    "source_inductance_h": "source_inductance_high_h",
    "driver_inductance_h": "physics_zero",
}


def circuit_pulse_query(
    relation: str,
    circuit: str = "circuit",
    group: str = "luminaire_type",
    *,
    hot_restart: bool = False,
) -> str:
    """The SELECT of one row a circuit; ``circuit`` and ``group`` name the columns of the keys.

    Volts, ohm, henry, farad, seconds, amperes. Raises ValueError for a name that cannot be a
    column. Source: derived, see ``inrush_circuit.circuit_pulse``.
    """
    circuit, group = identifier(circuit), identifier(group)
    strong = {"peak_a": "strong_peak", "i2t_a2s": "strong_i2t", "width_s": "strong_width"}
    weak = {"peak_a": "weak_peak", "i2t_a2s": "weak_i2t", "width_s": "weak_width"}
    return f"""WITH physics_rows AS ({_rows(relation, hot_restart)}),
physics_strong AS ({GROUP_PULSE.over("physics_rows", _STRONG, strong)}),
physics_both AS ({GROUP_PULSE.over("physics_strong", _WEAK, weak)}),
physics_allowed AS (
    SELECT {circuit}, {group}, strong_peak, strong_i2t, weak_width,
        {_unless_bounding("strong_width", "least_width")},
        {_unless_bounding(f"weak_peak / {_allowance(1)}", "least_peak")},
        {_unless_bounding(f"weak_i2t / {_allowance(2)}", "least_i2t")}
    FROM physics_both
), physics_groups AS (
    SELECT {circuit}, {group}, {every("min", "least_peak")}, {every("max", "strong_peak")},
        {every("min", "least_width")}, {every("max", "weak_width")},
        {every("min", "least_i2t")}, {every("max", "strong_i2t")}
    FROM physics_allowed GROUP BY ALL
)
SELECT {circuit}, {every("max", "least_peak", "peak_low_a")},
    {every("sum", "strong_peak", "peak_high_a")},
    {every("min", "least_width", "width_low_s")}, {every("sum", "weak_width", "width_high_s")},
    {every("max", "least_i2t", "i2t_low_a2s")},
    CASE WHEN count(*) = count(strong_i2t) THEN sum(sqrt(strong_i2t)) ** 2e0 END AS i2t_high_a2s
FROM physics_groups GROUP BY {circuit}"""


def _rows(relation: str, hot_restart: bool) -> str:
    """The relation with the driver's least resistance and the crest less a bridge's drop."""
    hottest = "0e0" if hot_restart else "driver_resistance_ohm"
    ordered = (
        "crest_low_v <= crest_high_v "
        "AND source_resistance_low_ohm <= source_resistance_high_ohm "
        "AND source_inductance_low_h <= source_inductance_high_h"
    )
    return f"""SELECT *, 0e0 AS physics_zero,
        CASE WHEN {ordered} AND isfinite(driver_resistance_ohm) AND driver_resistance_ohm >= 0e0
            THEN {hottest} END AS physics_hottest_ohm,
        CASE WHEN {ordered} AND crest_low_v > {number(BRIDGE_DROP_V + 1e-3)}
            THEN crest_low_v - {number(BRIDGE_DROP_V)}
            WHEN {ordered} AND crest_low_v > 0e0 THEN 1e-3 END AS physics_weak_crest_v
    FROM {identifier(relation)}"""


def _unless_bounding(value: str, name: str) -> str:
    """Nothing is known of the low ends of a bounding candidate: 0."""
    return f"CASE WHEN bounding THEN 0e0 WHEN NOT bounding THEN {value} END AS {name}"


def _allowance(which: int) -> str:
    """What the step is divided by; an infinity above the last width, so the low end is 0."""
    rows = " ".join(
        f"WHEN weak_width <= {number(row[0])} THEN {number(row[which])}" for row in SINE_ALLOWANCE
    )
    return f"CASE {rows} WHEN weak_width IS NOT NULL THEN 'inf'::DOUBLE END"
