"""The current ratios behind a phase cut as staged DuckDB queries; see ``phase_cut_current``.

``current_ratios(power).over(relation)`` reads the VARCHAR columns input_type and edge and the
firing angles firing_angle_low_degree and firing_angle_high_degree, and adds peak_ratio_low,
peak_ratio_high, rms_ratio_low, rms_ratio_high; NULL for a word that is not in the tables.
"""

from __future__ import annotations

from compat.physics.phase_cut import share_stages
from compat.physics.phase_cut_current import (
    EDGES,
    INPUT_TYPES,
    NODES_DEGREE,
    POWERS,
    Power,
    Which,
    table_of,
)
from compat.physics.ranges import Range
from compat.physics.staged import StagedQuery, number

_ENDS = ("low", "high")


def current_ratios(power: Power) -> StagedQuery:
    """The query for drivers that keep their power, or whose power follows the voltage squared.

    Raises ValueError for another word. Source and ranges: ``phase_cut_current.peak_ratio``.
    """
    if power not in POWERS:
        raise ValueError(f"power is {power!r}; allowed are {', '.join(POWERS)}")
    count = len(table_of("rms", "bulk_capacitor", "forward_phase", power))
    angle = Range(0.0, NODES_DEGREE[count - 1])
    ordered = "_firing_angle_low_degree <= _firing_angle_high_degree"
    stages: list[dict[str, str]] = [
        {f"_node_{index}": _reaches(index, count) for index in range(count)},
        *[
            stage
            for end in _ENDS
            for stage in share_stages(f"_firing_angle_{end}_degree", f"_square_share_{end}")
        ],
        {
            f"_{which}_followed_{end}": _followed(which, power, end)
            for which in ("peak", "rms")
            for end in _ENDS
        },
    ]
    return StagedQuery(
        {f"firing_angle_{end}_degree": angle for end in _ENDS},
        stages,
        {
            f"{which}_ratio_{end}": f"CASE WHEN {ordered} THEN {_envelope(which, power, end)} END"
            for which in ("peak", "rms")
            for end in _ENDS
        },
        words=("input_type", "edge"),
    )


def _reaches(index: int, count: int) -> str:
    """Whether the angles touch the stretch from the node before to the node after."""
    tests = []
    if index > 0:
        tests.append(f"_firing_angle_high_degree > {number(NODES_DEGREE[index - 1])}")
    if index + 1 < count:
        tests.append(f"_firing_angle_low_degree < {number(NODES_DEGREE[index + 1])}")
    return " AND ".join(tests)


def _followed(which: Which, power: Power, end: str) -> str:
    share, angle = f"_square_share_{end}", f"_firing_angle_{end}_degree"
    if which == "rms":
        return f"1e0 / sqrt({share})" if power == "kept" else f"sqrt({share})"
    crest = f"CASE WHEN {angle} <= 90e0 THEN 1e0 ELSE sin(radians({angle})) END"
    return f"({crest}) / {share}" if power == "kept" else crest


def _envelope(which: Which, power: Power, end: str) -> str:
    """The least or the greatest over the nodes reached; every part is known once the angles are."""
    pick, none = ("least", "'inf'::DOUBLE") if end == "low" else ("greatest", "0e0")
    followed = ", ".join(f"_{which}_followed_{one}" for one in _ENDS)
    rows = []
    for input_type in INPUT_TYPES:
        for edge in EDGES:
            table = table_of(which, input_type, edge, power)
            parts = [
                f"CASE WHEN _node_{index} THEN {number(ends[_ENDS.index(end)])} ELSE {none} END"
                for index, ends in enumerate(table)
            ]
            if input_type == "corrected":
                parts.append(followed)
            rows.append(
                f"WHEN _input_type = '{input_type}' AND _edge = '{edge}' THEN {pick}({', '.join(parts)})"
            )
    return f"CASE {' '.join(rows)} END"
