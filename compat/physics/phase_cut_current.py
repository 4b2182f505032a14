"""Current of a capacitive input behind a phase cut, as ratios to the uncut supply.

The tables are envelopes of simulated inputs (derived; ideal bridge of 1.8 V, constant-power load
that stops drawing, or draws its last current, below 40 V; 230 V 50 Hz, last 4 of many half
cycles), not of measured ones:
bulk_capacitor    5 W 4.7 uF 47 ohm; 10 W 10 uF 10 ohm; 10 W 10 uF 4.7 ohm 1 mH;
                  25 W 22 uF 4.7 ohm 0.1 mH; 50 W 47 uF 2.2 ohm, with 0.1 mH and with 2 mH
                  and, forward with a power that follows the cut, the plane of 0.35 to 1.5 uF/W and 55 to
                  450 ohm W, 6 to 40 W: below 0.9 uF/W the capacitor runs empty between two crests and
                  the current grows three times as much as above
small_capacitor   10 W 1 uF 22 ohm (one input only: low confidence)
corrected         an input with power-factor correction was not simulated: from a current that
                  follows the voltage (derived) up to what the small capacitor gives
Above 135 degrees the capacitor falls below 40 V: a real driver flickers or goes off there. A
smaller series resistance than in the list gives higher peaks than the envelope.
"""

from __future__ import annotations

import math
from typing import Literal

from compat.model.values import Interval
from compat.physics.phase_cut import Edge, rms_share
from compat.physics.ranges import Range

InputType = Literal["bulk_capacitor", "corrected", "small_capacitor"]
INPUT_TYPES: tuple[InputType, ...] = ("bulk_capacitor", "corrected", "small_capacitor")
EDGES: tuple[Edge, ...] = ("forward_phase", "reverse_phase")
Power = Literal["kept", "follows"]
POWERS: tuple[Power, ...] = ("kept", "follows")
Which = Literal["peak", "rms"]

NODES_DEGREE = (0.0, 15.0, 30.0, 45.0, 60.0, 75.0, 90.0, 105.0, 120.0, 135.0, 150.0)
SAME = (0.99, 1.01)

# At each node: low and high end of the ratio.
Table = tuple[tuple[float, float], ...]
KEPT_PEAK: dict[tuple[str, str], Table] = {
    ("bulk_capacitor", "forward_phase"): (
        SAME, SAME, SAME, SAME, SAME,
        (1.05, 5.2), (1.4, 9.5), (1.7, 11.8), (2.1, 14.7), (2.75, 19.8), (6.2, 44.5),
    ),
    ("bulk_capacitor", "reverse_phase"): (
        SAME, SAME, SAME, SAME, SAME, SAME,
        (0.99, 1.1), (1.23, 1.72), (1.65, 2.5), (2.1, 3.3), (2.7, 4.85),
    ),
    ("small_capacitor", "forward_phase"): (
        SAME, (7.0, 14.1), (20.0, 27.5), (31.0, 39.0), (39.5, 48.0),
        (45.0, 53.5), (46.8, 55.4), (45.0, 53.5), (39.5, 48.0), (31.0, 39.0), (19.9, 27.5),
    ),
    ("small_capacitor", "reverse_phase"): (
        SAME, SAME, SAME, SAME, SAME,
        (0.99, 1.04), (1.19, 1.33), (1.19, 1.33), (1.19, 1.33), (1.19, 1.33), (1.19, 1.33),
    ),
}  # fmt: skip
KEPT_RMS: dict[tuple[str, str], Table] = {
    ("bulk_capacitor", "forward_phase"): (
        SAME, SAME, SAME, SAME, SAME,
        (1.03, 1.82), (1.18, 2.65), (1.35, 3.12), (1.62, 3.78), (2.14, 5.1), (3.9, 11.9),
    ),
    ("bulk_capacitor", "reverse_phase"): (
        SAME, SAME, SAME, SAME, SAME, SAME,
        (0.99, 1.08), (1.2, 1.41), (1.56, 1.78), (2.03, 2.36), (2.91, 4.05),
    ),
    ("small_capacitor", "forward_phase"): (
        SAME, (1.2, 1.84), (2.26, 3.07), (3.38, 4.24), (4.25, 5.15),
        (4.8, 5.72), (5.0, 5.91), (4.78, 5.7), (4.2, 5.1), (3.3, 4.15), (2.12, 2.96),
    ),
    ("small_capacitor", "reverse_phase"): (
        SAME, SAME, SAME, SAME, SAME,
        (0.98, 1.03), (1.07, 1.28), (1.06, 1.38), (1.03, 1.35), (0.97, 1.31), (0.87, 1.22),
    ),
}  # fmt: skip
FOLLOWS_PEAK: dict[tuple[str, str], Table] = {
    ("bulk_capacitor", "forward_phase"): (
        SAME, (0.97, 1.02), (0.95, 1.01), (0.9, 0.97), (0.81, 11.5),
        (0.7, 28.5), (0.75, 30.2), (0.69, 21.5), (0.56, 15.0), (0.0, 9.6),
    ),
    ("bulk_capacitor", "reverse_phase"): (
        SAME, (0.97, 1.02), (0.95, 1.01), (0.9, 0.97), (0.81, 0.9),
        (0.69, 0.81), (0.62, 0.73), (0.83, 1.12), (1.08, 1.34), (0.88, 1.49),
    ),
    ("small_capacitor", "forward_phase"): (
        SAME, (7.0, 14.1), (20.0, 27.5), (31.0, 39.0), (39.5, 48.0),
        (45.0, 54.5), (39.4, 41.1), (23.5, 24.5), (14.4, 15.1), (8.3, 8.7),
    ),
    ("small_capacitor", "reverse_phase"): (
        SAME, (0.96, 1.01), (0.87, 0.92), (0.73, 0.77), (0.59, 0.62),
        (0.47, 0.5), (0.38, 0.41), (0.33, 0.35), (0.3, 0.33), (0.31, 0.33),
    ),
}  # fmt: skip
FOLLOWS_RMS: dict[tuple[str, str], Table] = {
    ("bulk_capacitor", "forward_phase"): (
        SAME, (0.98, 1.01), (0.95, 1.0), (0.89, 0.95), (0.8, 1.58),
        (0.67, 3.4), (0.61, 3.6), (0.49, 2.5), (0.36, 1.7), (0.0, 1.04),
    ),
    ("bulk_capacitor", "reverse_phase"): (
        SAME, (0.98, 1.01), (0.95, 1.0), (0.89, 0.95), (0.8, 0.87),
        (0.66, 0.75), (0.57, 0.63), (0.57, 0.65), (0.45, 0.59), (0.31, 0.45),
    ),
    ("small_capacitor", "forward_phase"): (
        SAME, (1.2, 1.84), (2.26, 3.07), (3.37, 4.24), (4.24, 5.14),
        (4.79, 5.82), (4.2, 4.38), (2.49, 2.6), (1.52, 1.59), (0.86, 0.9),
    ),
    ("small_capacitor", "reverse_phase"): (
        SAME, (0.97, 1.01), (0.92, 0.97), (0.82, 0.86), (0.69, 0.73),
        (0.55, 0.58), (0.43, 0.45), (0.34, 0.36), (0.27, 0.29), (0.21, 0.23),
    ),
}  # fmt: skip


TABLES: dict[tuple[Which, Power], dict[tuple[str, str], Table]] = {
    ("peak", "kept"): KEPT_PEAK,
    ("rms", "kept"): KEPT_RMS,
    ("peak", "follows"): FOLLOWS_PEAK,
    ("rms", "follows"): FOLLOWS_RMS,
}


def peak_ratio(
    input_type: InputType, edge: Edge, firing_angle_degree: Interval, power: Power = "kept"
) -> Interval:
    """Repetitive current peak of the cut supply divided by that of the uncut one.

    ``firing_angle_degree`` 0 to 150 (reverse phase: 180 less the cut angle), 0 to 135 for
    ``follows``; between two nodes of the table the widest of both stands, never a value between.
    ``power``: ``kept`` when the driver holds its full power whatever the angle, ``follows`` when
    its power falls with the square of the voltage it is given. Raises ValueError.
    """
    return _ratio("peak", input_type, edge, firing_angle_degree, power)


def rms_ratio(
    input_type: InputType, edge: Edge, firing_angle_degree: Interval, power: Power = "kept"
) -> Interval:
    """R.m.s. current of the cut supply divided by that of the uncut one; see ``peak_ratio``."""
    return _ratio("rms", input_type, edge, firing_angle_degree, power)


def table_of(which: Which, input_type: str, edge: str, power: Power) -> Table:
    """The envelope at the nodes; a corrected input has the one of the small capacitor."""
    small = input_type if input_type == "bulk_capacitor" else "small_capacitor"
    return TABLES[which, power][small, edge]


def _ratio(which: Which, input_type: InputType, edge: Edge, angle: Interval, power: Power) -> Interval:
    if input_type not in INPUT_TYPES or edge not in EDGES or power not in POWERS:
        raise ValueError(
            f"no table for {input_type!r}, {edge!r}, {power!r}; input types are "
            f"{', '.join(INPUT_TYPES)}, edges {', '.join(EDGES)}, power is {' or '.join(POWERS)}"
        )
    table = table_of(which, input_type, edge, power)
    Range(0.0, NODES_DEGREE[len(table) - 1]).check_interval("firing_angle_degree", angle)
    used = [
        ends
        for index, ends in enumerate(table)
        if (index == 0 or NODES_DEGREE[index - 1] < angle.high)
        and (index + 1 == len(table) or NODES_DEGREE[index + 1] > angle.low)
    ]
    lows, highs = [low for low, _ in used], [high for _, high in used]
    if input_type == "corrected":
        followed = [_followed(which, power, end) for end in (angle.low, angle.high)]
        lows, highs = lows + followed, highs + followed
    return Interval(min(lows), max(highs))


def _followed(which: Which, power: Power, angle: float) -> float:
    """The ratio of a current that follows the voltage; it rises or falls steadily with the angle."""
    share = rms_share(angle)
    if which == "rms":
        return 1.0 / share if power == "kept" else share
    crest = 1.0 if angle <= 90.0 else math.sin(math.radians(angle))
    return crest / share**2 if power == "kept" else crest
