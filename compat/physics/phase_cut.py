"""The cut sine and its r.m.s. value.

Forward phase conducts from the firing angle to the next zero crossing, reverse phase from the zero
crossing to the cut angle; angles count from the zero crossing. Both have the same r.m.s. value
for the same conduction angle. Source: a.c. voltage controller of power-electronics textbooks
(from memory, derived).
"""

from __future__ import annotations

import math
from typing import Literal

from compat.physics.ranges import Range

Edge = Literal["forward_phase", "reverse_phase"]

FIRING_ANGLE_DEGREE = Range(0.0, 180.0)


def rms_share(firing_angle_degree: float) -> float:
    """R.m.s. of the cut sine divided by that of the whole one: sqrt(1 - a/pi + sin(2a)/(2 pi)).

    Forward phase: the firing angle; reverse phase: 180 degrees less the cut angle; 0 to 180.
    The power of a resistive load is the square of it. No units. Raises ValueError.
    """
    FIRING_ANGLE_DEGREE.check("firing_angle_degree", firing_angle_degree)
    return math.sqrt(_square_share(firing_angle_degree))


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
