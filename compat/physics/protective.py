"""Protective-conductor current against the residual-current device, and continuous load.

Leakage to earth of class I equipment adds up on the protective conductor and on the residual
current device above it. Class II equipment adds none.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Literal

from compat.model.values import Interval
from compat.physics.ranges import Range, check_all
from compat.physics.staged import StagedQuery, number

RANGES = {
    "leakage_each_a": Range(0.0, 1.0),
    "driver_count": Range(0.0, 10_000.0),
    "residual_current_a": Range(0.001, 30.0),
    "allowed_share": Range(0.01, 1.0),
    "load_current_a": Range(0.0, 10_000.0),
    "rated_current_a": Range(0.1, 10_000.0),
}

Verdict = Literal["within", "above", "cannot_tell"]


def protective_current_a(groups: Iterable[tuple[int, Interval]]) -> Interval:
    """Sum in amperes of the protective-conductor currents of groups of (count, amperes each).

    Arithmetic: the currents of filter capacitors on one line conductor have the same phase. On
    three line conductors they partly cancel and the sum is an upper bound. Count 0 to 10,000, each
    0 to 1 A; no groups give 0. Raises ValueError. Source: BS 7671 531.3.2 counts the accumulated
    current (standard, second hand).
    """
    low = high = 0.0
    for count, each in groups:
        RANGES["driver_count"].check("driver_count", count)
        RANGES["leakage_each_a"].check_interval("leakage_each_a", each)
        low += count * each.low
        high += count * each.high
    return Interval(low, high)


def residual_verdict(leakage_a: Interval, residual_current_a: float, allowed_share: float = 0.3) -> Verdict:
    """Standing leakage against a share of the rated residual current (30 mA: 9 mA at 30 %).

    ``allowed_share`` 0.3 is BS 7671:2018 531.3.2 and IEC 60364-5-53 (standard, second hand); older
    guidance used 0.25. A device may trip from half its rated current. Amperes. Raises ValueError.
    """
    RANGES["load_current_a"].check_interval("leakage_a", leakage_a)
    limit = residual_limit_a(residual_current_a, allowed_share)
    if leakage_a.high <= limit:
        return "within"
    return "above" if leakage_a.low > limit else "cannot_tell"


def residual_limit_a(residual_current_a: float, allowed_share: float = 0.3) -> float:
    """Largest standing leakage in amperes; see ``residual_verdict``. Raises ValueError."""
    check_all(RANGES, residual_current_a=residual_current_a, allowed_share=allowed_share)
    return allowed_share * residual_current_a


def most_drivers_on_residual(
    leakage_each_a: float, residual_current_a: float, allowed_share: float = 0.3
) -> int:
    """Most equal drivers whose leakage stays within the limit: 0.7 mA on 30 mA gives 12.

    ``leakage_each_a`` above 0. A count that meets the limit to 1e-9 is allowed, so that a decimal
    figure such as 9 mA / 0.5 mA gives 18. Raises ValueError. Source: derived.
    """
    Range(0.0, 1.0, low_allowed=False).check("leakage_each_a", leakage_each_a)
    limit = residual_limit_a(residual_current_a, allowed_share)
    return math.floor(limit / leakage_each_a * (1.0 + 1e-9))


def continuous_limit_a(rated_current_a: float, allowed_share: float) -> float:
    """Largest steady current in amperes for a load that stays on for three hours or more.

    ``allowed_share`` is 0.8 by NEC 210.19(A)(1) and 210.20(A) (100 / 125 %; from memory and second
    hand), 1.0 where I_b <= I_n alone is the rule (IEC 60364, BS 7671; standard, second hand).
    20 A at 0.8: 16 A. Raises ValueError.
    """
    check_all(RANGES, rated_current_a=rated_current_a, allowed_share=allowed_share)
    return allowed_share * rated_current_a


RESIDUAL = StagedQuery(
    {
        "leakage_low_a": RANGES["load_current_a"],
        "leakage_high_a": RANGES["load_current_a"],
        "residual_current_a": RANGES["residual_current_a"],
        "allowed_share": RANGES["allowed_share"],
    },
    [
        {
            "_limit": "_allowed_share * _residual_current_a",
            "_ordered": "_leakage_low_a <= _leakage_high_a",
        }
    ],
    {
        "residual_limit_a": "_limit",
        "verdict": "CASE WHEN _ordered AND _leakage_high_a <= _limit THEN 'within' "
        "WHEN _ordered AND _leakage_low_a > _limit THEN 'above' ELSE 'cannot_tell' END",
    },
)
"""Adds residual_limit_a and verdict (within, above, cannot_tell)."""

LOAD_SHARE = StagedQuery(
    {name: RANGES[name] for name in ("load_current_a", "rated_current_a", "allowed_share")},
    [{"_limit": "_allowed_share * _rated_current_a"}],
    {
        "continuous_limit_a": "_limit",
        "load_share": "_load_current_a / _rated_current_a",
        "most_drivers": "CASE WHEN _load_current_a > 0e0 "
        f"THEN floor(_limit / _load_current_a * {number(1 + 1e-9)}) END",
    },
)
"""Adds continuous_limit_a, load_share, and most_drivers with load_current_a that of one driver."""
