"""The cut sine: its r.m.s. value and the step at switching on.

Forward phase conducts from the firing angle to the next zero crossing, reverse phase from the zero
crossing to the cut angle; angles count from the zero crossing. Both have the same r.m.s. value
for the same conduction angle. Source: a.c. voltage controller of power-electronics textbooks
(from memory, derived).
"""

from __future__ import annotations

import math
from typing import Literal

from compat.physics.ranges import Range, check_all
from compat.physics.staged import StagedQuery, number

Edge = Literal["forward_phase", "reverse_phase"]

RANGES = {
    "voltage_v": Range(1.0, 1000.0),
    "firing_angle_degree": Range(0.0, 180.0),
    "conduction_angle_degree": Range(0.0, 180.0),
}


def rms_share(firing_angle_degree: float) -> float:
    """R.m.s. of the cut sine divided by that of the whole one: sqrt(1 - a/pi + sin(2a)/(2 pi)).

    Forward phase: the firing angle; reverse phase: 180 degrees less the cut angle; 0 to 180.
    The power of a resistive load is the square of it. No units. Raises ValueError.
    """
    check_all(RANGES, firing_angle_degree=firing_angle_degree)
    return math.sqrt(_square_share(firing_angle_degree))


def rms_voltage_v(voltage_v: float, firing_angle_degree: float) -> float:
    """R.m.s. of the cut sine in volts, for a supply of 1 to 1000 V r.m.s. Raises ValueError."""
    check_all(RANGES, voltage_v=voltage_v)
    return voltage_v * rms_share(firing_angle_degree)


def step_voltage_v(voltage_v: float, firing_angle_degree: float) -> float:
    """The jump at switching on in forward phase, sqrt(2) V sin(a), in volts.

    Largest at 90 degrees. It drives the repetitive current peak of a capacitive input. Reverse
    phase starts at the zero crossing and has none. Raises ValueError. Source: derived.
    """
    check_all(RANGES, voltage_v=voltage_v, firing_angle_degree=firing_angle_degree)
    return max(0.0, math.sqrt(2.0) * voltage_v * math.sin(math.radians(firing_angle_degree)))


def firing_angle_of(conduction_angle_degree: float) -> float:
    """Firing angle in degrees, 180 less the conduction angle (0 to 180). Raises ValueError."""
    check_all(RANGES, conduction_angle_degree=conduction_angle_degree)
    return 180.0 - conduction_angle_degree


def _square_share(firing_angle_degree: float) -> float:
    """In the last 6 degrees by the series of t - sin(t), which there loses its digits."""
    rest = math.radians(180.0 - firing_angle_degree)
    turned = 2.0 * rest
    if turned > 0.2:
        return (turned - math.sin(turned)) / (2.0 * math.pi)
    square = turned**2
    return (
        turned
        * square
        / (12.0 * math.pi)
        * (1.0 - square / 20.0 * (1.0 - square / 42.0 * (1.0 - square / 72.0)))
    )


def share_stages(angle: str, square_share: str) -> list[dict[str, str]]:
    """Stages that put the square of the r.m.s. share of the column ``angle`` in ``square_share``."""
    turned, square = f"{square_share}_turned", f"{square_share}_square"
    return [
        {turned: f"2e0 * radians(180e0 - {angle})"},
        {square: f"{turned} * {turned}"},
        {
            square_share: f"CASE WHEN {turned} > 0.2e0 THEN ({turned} - sin({turned})) "
            f"/ {number(2 * math.pi)} ELSE {turned} * {square} / {number(12 * math.pi)} "
            f"* (1e0 - {square} / 20e0 * (1e0 - {square} / 42e0 * (1e0 - {square} / 72e0))) END"
        },
    ]


PHASE_CUT = StagedQuery(
    {name: RANGES[name] for name in ("voltage_v", "firing_angle_degree")},
    [
        *share_stages("_firing_angle_degree", "_square_share"),
        {"_step": f"{number(math.sqrt(2.0))} * _voltage_v * sin(radians(_firing_angle_degree))"},
    ],
    {
        "rms_share": "sqrt(_square_share)",
        "rms_voltage_v": "_voltage_v * sqrt(_square_share)",
        "step_voltage_v": "CASE WHEN _step < 0e0 THEN 0e0 ELSE _step END",
    },
)
"""Adds rms_share, rms_voltage_v, step_voltage_v from voltage_v and firing_angle_degree."""
