"""Interval arithmetic rounded outward, with ends that may be infinite: nothing true is ever lost."""

from __future__ import annotations

import math
from typing import TypeAlias

Ends: TypeAlias = "tuple[float, float]"
ALL: Ends = (-math.inf, math.inf)
LEAST = math.ulp(0.0)


def plus(left: Ends, right: Ends) -> Ends:
    """The sums."""
    return _outward(
        _sum(left[0], right[0], -math.inf), _sum(left[1], right[1], math.inf), _plain(left, right)
    )


def minus(left: Ends, right: Ends) -> Ends:
    """The differences."""
    return plus(left, (-right[1], -right[0]))


def times(left: Ends, right: Ends) -> Ends:
    """The products; nought times infinity is nought, since an end that is infinite is never reached."""
    if left == (1.0, 1.0):
        return right
    if right == (1.0, 1.0):
        return left
    corners = [_product(a, b) for a in left for b in right]
    return _outward(min(corners), max(corners), _plain(left, right))


def over(left: Ends, right: Ends) -> Ends:
    """The quotients; everything where the divisor may be nought with both signs around it."""
    low, high = right
    if low < 0.0 < high or low == high == 0.0:
        return ALL
    if right == (1.0, 1.0):
        return left
    first = math.inf if high == math.inf and low == 0.0 else None
    if first is not None:
        # One over all positive numbers is all positive numbers.
        return times(left, (0.0, math.inf))
    return _outward(*_quotient_ends(left, right), False)


def _quotient_ends(left: Ends, right: Ends) -> Ends:
    negative = right[1] <= 0.0
    if negative:
        left, right = (-left[1], -left[0]), (-right[1], -right[0])
    least, most = right
    low = _quotient(left[0], most if left[0] >= 0.0 else least)
    high = _quotient(left[1], least if left[1] >= 0.0 else most)
    return low, high


def _quotient(dividend: float, divisor: float) -> float:
    if dividend == 0.0 or math.isinf(divisor):
        return 0.0 if not math.isinf(dividend) else math.copysign(math.inf, dividend)
    if divisor == 0.0:
        return math.copysign(math.inf, dividend)
    return dividend / divisor or math.copysign(LEAST, dividend)


def _product(left: float, right: float) -> float:
    if left == 0.0 or right == 0.0:
        return 0.0
    # A product too small to be written is not nought.
    return left * right or math.copysign(LEAST, left) * math.copysign(1.0, right)


def _sum(left: float, right: float, otherwise: float) -> float:
    total = left + right
    return otherwise if math.isnan(total) else total


def _plain(left: Ends, right: Ends) -> bool:
    """Whether all ends are small whole numbers, whose sums and products are exact."""
    return all(-1e7 < end < 1e7 and end == math.floor(end) for end in (*left, *right))


def _outward(low: float, high: float, exact: bool) -> Ends:
    if exact:
        return low, high
    return (
        low if low == 0.0 else math.nextafter(low, -math.inf),
        high if high == 0.0 else math.nextafter(high, math.inf),
    )
