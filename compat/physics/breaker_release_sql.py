"""The breaker verdict as staged DuckDB queries; formulas and sources as in ``breaker_release``.

``RELEASE.over(relation)`` reads peak_low_a, peak_high_a, i2t_low_a2s, i2t_high_a2s,
rated_current_a, hold_multiple, trip_multiple, shortest_plunger_time_s, longest_plunger_time_s and
frequency_hz, and adds hold_limit_a, trip_limit_a and verdict (holds, trips, cannot_tell). The two
limits are the ends of the limit that the peak is compared with; NULL where an end is not known.
``STRICT_RELEASE`` takes f = 1 and never says trips.
"""

from __future__ import annotations

import math

from compat.physics.breaker_release import ANCHOR_MOST, ANCHOR_SLOPE, RANGES, SPAN
from compat.physics.staged import StagedQuery, larger, number, smaller


def _factor(peak: str, i2t: str, time: str) -> list[dict[str, str]]:
    """f(w, T) in a column ``_factor<time>``, with w held inside the range of the plain form."""
    name = f"_factor{time}"
    return [
        {f"{name}_raw": f"CASE WHEN {peak} > 0e0 AND {i2t} > 0e0 THEN {i2t} / {peak} / {peak} END"},
        {f"{name}_low": larger(f"{name}_raw", "1e-12")},
        {f"{name}_span": smaller(f"{name}_low", number(SPAN.high))},
        {name: f"sqrt((1e0 + sqrt(1e0 + 8e0 * ({time} / {name}_span) * ({time} / {name}_span))) / 2e0)"},
    ]


def _release(strict: bool) -> StagedQuery:
    shortest, longest = "_shortest_plunger_time_s", "_longest_plunger_time_s"
    known = "_hold_multiple <= _trip_multiple AND _shortest_plunger_time_s <= _longest_plunger_time_s"
    factored = (
        f"CASE WHEN _peak_high_a = 0e0 OR _i2t_high_a2s = 0e0 OR _factor{shortest} <= _anchor "
        f"THEN _static WHEN _factor{shortest} > _anchor "
        f"THEN _static * _factor{shortest} / _anchor END"
    )
    held = f"CASE WHEN {known} THEN {'_static' if strict else factored} END"
    tripped = (
        f"CASE WHEN {known} THEN {number(math.sqrt(2.0))} * _trip_multiple * _rated_current_a "
        f"* _factor{longest} END"
    )
    return StagedQuery(
        RANGES,
        [
            {
                "_static": f"{number(math.sqrt(2.0))} * _hold_multiple * _rated_current_a",
                "_anchor": smaller(
                    f"(1e0 + {number(ANCHOR_SLOPE)} * {shortest} * _frequency_hz)",
                    number(ANCHOR_MOST),
                ),
            },
            *_factor("_peak_high_a", "_i2t_high_a2s", shortest),
            *_factor("_peak_low_a", "_i2t_low_a2s", longest),
            {
                "_hold_limit": f"CASE WHEN _peak_high_a IS NOT NULL AND _i2t_high_a2s IS NOT NULL "
                f"AND _anchor IS NOT NULL THEN {held} END",
                "_trip_limit": "NULL::DOUBLE" if strict else tripped,
            },
        ],
        {
            "hold_limit_a": "_hold_limit",
            "trip_limit_a": "_trip_limit",
            "verdict": "CASE WHEN _peak_high_a <= _hold_limit THEN 'holds' "
            "WHEN _peak_low_a > _trip_limit THEN 'trips' ELSE 'cannot_tell' END",
        },
    )


RELEASE = _release(strict=False)
STRICT_RELEASE = _release(strict=True)
