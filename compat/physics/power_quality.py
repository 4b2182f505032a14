"""Power factor, apparent power, distortion, and the harmonic limits of lighting equipment."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from compat.physics.ranges import Range, check_all
from compat.physics.staged import StagedQuery

RANGES = {
    "active_power_w": Range(0.0, 1e6),
    "power_factor": Range(0.01, 1.0),
    "voltage_v": Range(1.0, 1000.0),
    "displacement_factor": Range(0.0, 1.0),
    "distortion": Range(0.0, 10.0),
}
HARMONIC_SHARE = Range(0.0, 5.0)
HIGHEST_ORDER = 40
# Percent of the fundamental above 25 W; order 3 is 30 (27 from the 2020 amendment) times the
# power factor and is computed.
ABOVE_25_W = {2: 2.0, 5: 10.0, 7: 7.0, 9: 5.0}
ABOVE_25_W_FROM_11 = 3.0
MILLIAMPERE_PER_WATT = {3: 3.4, 5: 1.9, 7: 1.0, 9: 0.5, 11: 0.35}
MILLIAMPERE_PER_WATT_FROM_13 = 3.85


@dataclass(frozen=True, slots=True)
class HarmonicLimit:
    """A limit for one order, in amperes, and whether the given current is within it."""

    order: int
    limit_a: float
    current_a: float
    within: bool


def apparent_power_va(active_power_w: float, power_factor: float) -> float:
    """S = P / power factor in volt-amperes; watts up to 1 MW, power factor 0.01 to 1.

    Adding apparent powers of different drivers gives an upper bound. Raises ValueError. Textbook.
    """
    check_all(RANGES, active_power_w=active_power_w, power_factor=power_factor)
    return active_power_w / power_factor


def input_current_a(active_power_w: float, power_factor: float, voltage_v: float) -> float:
    """R.m.s. current in amperes, P / (power factor V). Raises ValueError. Source: textbook."""
    check_all(RANGES, voltage_v=voltage_v)
    return apparent_power_va(active_power_w, power_factor) / voltage_v


def power_factor_of(displacement_factor: float, distortion: float) -> float:
    """cos phi1 / sqrt(1 + THD^2) on a sinusoidal voltage; THD as a share, not in percent.

    THD 1.054 (1.0 is 100 %) with no displacement gives 0.688. Raises ValueError. Textbook, derived.
    """
    check_all(RANGES, displacement_factor=displacement_factor, distortion=distortion)
    return displacement_factor / math.sqrt(1.0 + distortion**2)


def distortion_of(harmonics: Mapping[int, float]) -> float:
    """Total harmonic distortion, a share, from shares of the fundamental by order (2 to 40).

    sqrt(sum of squares): third 0.86 and fifth 0.61 give 1.054. Raises ValueError. Textbook.
    """
    _check_harmonics(harmonics)
    return math.sqrt(sum(share**2 for share in harmonics.values()))


def class_c_limits(
    active_power_w: float,
    voltage_v: float,
    displacement_factor: float,
    harmonics: Mapping[int, float],
    third_order_percent: float = 27.0,
) -> list[HarmonicLimit]:
    """Harmonic currents beside the limits for lighting equipment; for information.

    Above 25 W: percent of the fundamental by order, the third 27 times the power factor (30 in
    editions before the 2020 amendment; give ``third_order_percent``). 5 to 25 W: milliamperes per
    watt, the first of three alternatives of which one suffices, so "not within" here is not yet a
    breach. Below 5 W, or under 220 V, there are no limits and the list is empty. ``harmonics``:
    share of the fundamental by order 2 to 40; orders given without a limit are left out. Phase-cut
    controls are not in this class. Raises ValueError. Source: IEC 61000-3-2 class C (standard,
    second hand, two reproductions).
    """
    check_all(
        RANGES,
        active_power_w=active_power_w,
        voltage_v=voltage_v,
        displacement_factor=displacement_factor,
    )
    Range(27.0, 30.0).check("third_order_percent", third_order_percent)
    Range(0.01, 1.0).check("displacement_factor", displacement_factor)
    distortion = distortion_of(harmonics)
    if active_power_w < 5.0 or voltage_v < 220.0:
        return []
    fundamental = active_power_w / (voltage_v * displacement_factor)
    power_factor = power_factor_of(displacement_factor, distortion)
    found = []
    for order in sorted(harmonics):
        if active_power_w > 25.0:
            percent = _percent_limit(order, third_order_percent * power_factor)
            limit = None if percent is None else percent / 100.0 * fundamental
        else:
            limit = milliampere_limit_a(order, active_power_w)
        if limit is not None:
            current = harmonics[order] * fundamental
            found.append(HarmonicLimit(order, limit, current, current <= limit))
    return found


def milliampere_limit_a(order: int, active_power_w: float) -> float | None:
    """Limit in amperes by the milliampere-per-watt column; None for an order it does not limit.

    20 W: 68 mA in the third, 5.92 mA in the thirteenth. Raises ValueError. Source: IEC 61000-3-2
    Table 3 (standard, second hand).
    """
    Range(2, HIGHEST_ORDER).check("order", order)
    check_all(RANGES, active_power_w=active_power_w)
    if order % 2 == 0 or order > 39:
        return None
    per_watt = MILLIAMPERE_PER_WATT.get(order, MILLIAMPERE_PER_WATT_FROM_13 / order)
    return per_watt * active_power_w / 1000.0


def _percent_limit(order: int, third: float) -> float | None:
    if order == 3:
        return third
    if order % 2 == 1 and 11 <= order <= 39:
        return ABOVE_25_W_FROM_11
    return ABOVE_25_W.get(order)


def _check_harmonics(harmonics: Mapping[int, float]) -> None:
    for order, share in harmonics.items():
        if not isinstance(order, int) or not 2 <= order <= HIGHEST_ORDER:
            raise ValueError(f"order is {order!r}; allowed are whole numbers from 2 to {HIGHEST_ORDER}")
        HARMONIC_SHARE.check(f"harmonic {order}", share)


POWER = StagedQuery(
    {name: RANGES[name] for name in ("active_power_w", "power_factor", "voltage_v")},
    [{"_apparent": "_active_power_w / _power_factor"}],
    {"apparent_power_va": "_apparent", "input_current_a": "_apparent / _voltage_v"},
)
"""Adds apparent_power_va and input_current_a."""

POWER_FACTOR = StagedQuery(
    {name: RANGES[name] for name in ("displacement_factor", "distortion")},
    [],
    {"power_factor": "_displacement_factor / sqrt(1e0 + _distortion * _distortion)"},
)
"""Adds power_factor from displacement_factor and distortion (a share)."""
