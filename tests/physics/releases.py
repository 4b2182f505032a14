"""The verdict on a pulse known within intervals, from the two limits as the rules use them."""

from __future__ import annotations

from compat.model.values import Interval
from compat.physics.breaker_release import Breaker, hold_limit_a, trip_limit_a


def release_of(breaker: Breaker, peak_a: Interval, i2t_a2s: Interval) -> str:
    """``holds`` by the high ends, ``trips`` (closed at the crest) by the low ends, or ``cannot_tell``."""
    if peak_a.high <= hold_limit_a(breaker, peak_a.high, i2t_a2s.high):
        return "holds"
    trip = trip_limit_a(breaker, peak_a.low, i2t_a2s.low)
    return "trips" if trip is not None and peak_a.low > trip else "cannot_tell"
