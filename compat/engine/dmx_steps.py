"""The lowest light that the DMX values of some drivers can set."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, get_args

from compat.engine.site import quantity
from compat.model.values import UNKNOWN, Interval
from compat.physics.control_levels import Curve, dmx_lowest_step_percent

if TYPE_CHECKING:
    from compat.engine.members import Member

# A channel has one slot or two.
BITS = Interval(8.0, 16.0)


def lowest_step(members: Sequence[Member]) -> Interval | None:
    """Lowest level above off in % of light that every driver can be set to, from its bits and curve.

    What a driver does not state may be either: 8 or 16 bits, any curve. Of a driver that states
    neither, nothing is known, and so of all.
    """
    ends = [_of_driver(member) for member in members]
    known = [interval for interval in ends if interval is not None]
    if len(known) < len(ends) or not known:
        return None
    return Interval(max(step.low for step in known), max(step.high for step in known))


def _of_driver(member: Member) -> Interval | None:
    bits = quantity(member.traits, "dmx_bits")
    if bits is not None and not BITS.low <= bits.low <= bits.high <= BITS.high:
        # No channel has so many or so few bits, so the figure says nothing.
        bits = None
    stated = member.traits.get("dimming_curve", UNKNOWN).content
    if bits is None and stated is None:
        return None
    curves: list[Curve] = [curve for curve in get_args(Curve) if stated in (None, curve)]
    found = [
        dmx_lowest_step_percent(end, curve)
        for curve in curves
        for end in ((bits or BITS).low, (bits or BITS).high)
    ]
    return Interval(min(found), max(found))
