"""The pulse and its inverse as staged DuckDB queries; formulas and sources as in ``inrush``.

``PULSE.over(relation)`` reads crest_v, resistance_ohm, inductance_h, capacitance_f;
``GROUP_PULSE`` the source, one driver and driver_count; both add damping_ratio, peak_a,
time_to_peak_s, width_s, i2t_a2s. ``DRIVER_FIT`` reads what is stated and the test source and adds
outcome (fits, clamped, infeasible), driver_resistance_ohm, driver_capacitance_f, damping_ratio.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from compat.physics.inrush import (
    FALL_START,
    MOST_DAMPING,
    NEAR_CRITICAL,
    RANGES,
    RISE_START,
)
from compat.physics.inrush_inverse import LEAST_RATIO, MOST_RATIO, MOST_SHARE, STATED
from compat.physics.staged import StagedQuery, larger, number, polynomial_text

Stage = dict[str, str]

# zeta / y in y/(1 + y) with y = sqrt(ratio) - sqrt(2 pi/3), within 4e-4; fitted (derived here).
DAMPING_START = (
    0.88012497, 0.06616439, 1.07556271, -9.00258938, 34.38833965, -64.57528878, 42.83839414,
    21.1944184, -40.2977744, 14.03343571,
)  # fmt: skip


def _series_text(square: str, divisors: Sequence[int]) -> str:
    text = "1e0"
    for divisor in reversed(divisors):
        text = f"(1e0 - {square} / {number(divisor)} * {text})"
    return text


def _shape(damping: str) -> list[Stage]:
    """From the damping ratio to b, the relative time to peak and the relative peak."""
    return [
        {"_square": f"(1e0 - {damping}) * (1e0 + {damping})"},
        {"_root": "sqrt(abs(_square))"},
        {
            "_instant": (
                f"CASE WHEN _root = 0e0 THEN 1e0 WHEN _square > 0e0 "
                f"THEN atan2(_root, {damping}) / _root ELSE asinh(_root) / _root END"
            ),
            "_fast": f"{damping} + _root",
        },
        {
            "_height": f"exp(-{damping} * _instant)",
            "_slow": f"CASE WHEN _square < {number(-NEAR_CRITICAL)} THEN 1e0 / _fast ELSE {damping} END",
        },
    ]


def _starts(damping: str) -> list[Stage]:
    share = f"({damping} / (1e0 + {damping}))"
    return [
        {"_share": share},
        {
            "_rise": f"{polynomial_text(RISE_START, '_share')} / (1e0 + {damping})",
            "_fall": f"{polynomial_text(FALL_START, '_share')} * (1e0 + {damping})",
        },
    ]


def _closer(damping: str) -> list[Stage]:
    """One step of both half-peak instants; the same as ``inrush._closer``."""
    near, roots = number(NEAR_CRITICAL), ("_rise", "_fall")
    over = f"_square < -{near}"
    stages: list[Stage] = [{}, {}, {}, {}, {}, {}]
    for at in roots:
        turned, squared = f"(_root * {at})", f"(_square * {at} * {at})"
        sine = _series_text(squared, (6, 20, 42, 72, 110, 156))
        cosine = _series_text(squared, (2, 12, 30, 56, 90, 132))
        stages[0][f"{at}_faded"] = f"CASE WHEN {over} THEN exp(-2e0 * {turned}) END"
        stages[0][f"{at}_grown"] = f"_height / 2e0 * exp(_slow * {at})"
        stages[1][f"{at}_value"] = (
            f"CASE WHEN _square > {near} THEN sin({turned}) / _root "
            f"WHEN {over} THEN (1e0 - {at}_faded) / (2e0 * _root) ELSE {at} * {sine} END"
        )
        stages[2][f"{at}_slope"] = (
            f"CASE WHEN _square > {near} THEN cos({turned}) - {damping} * {at}_value "
            f"WHEN {over} THEN ({at}_faded * _fast - _slow) / (2e0 * _root) "
            f"ELSE {cosine} - {damping} * {at}_value END"
        )
        stages[2][f"{at}_excess"] = f"{at}_value - {at}_grown"
        stages[3][f"{at}_bend"] = (
            f"CASE WHEN {over} THEN (_slow * _slow - {at}_faded * _fast * _fast) / (2e0 * _root) "
            f"ELSE -2e0 * {damping} * {at}_slope - {at}_value END"
        )
        stages[3][f"{at}_first"] = f"{at}_excess / {at}_slope"
        stages[4][f"{at}_second"] = f"{at}_first * {at}_bend / {at}_slope"
        stages[4][f"{at}_third"] = (
            f"{at}_first * {at}_first / {at}_slope * CASE WHEN {over} "
            f"THEN ({at}_faded * _fast * _fast * _fast - _slow * _slow * _slow) / (2e0 * _root) "
            f"ELSE -2e0 * {damping} * {at}_bend - {at}_slope END"
        )
        stages[5][at] = (
            f"{at} - {at}_first * (1e0 - {at}_second / 2e0) / (1e0 - {at}_second + {at}_third / 6e0)"
        )
    return stages


def _pulse_stages() -> list[Stage]:
    least = f"_resistance_ohm * _resistance_ohm * _capacitance_f / {number(4 * MOST_DAMPING**2)}"
    return [
        {"_limit": least},
        {"_inductance": larger("_inductance_h", "_limit")},
        {
            "_damping": "CASE WHEN _inductance > 0e0 "
            "THEN _resistance_ohm / 2e0 * sqrt(_capacitance_f / _inductance) END",
            "_impedance": "sqrt(_inductance / _capacitance_f)",
            "_period": "sqrt(_inductance * _capacitance_f)",
        },
        *_shape("_damping"),
        *_starts("_damping"),
        *_closer("_damping"),
        {
            "_decay": f"{number(2 * math.pi)} * _damping / _root",
            "_ramp": "_inductance_h / _resistance_ohm",
        },
        {
            # sinh(x)/x keeps the digits that 1 - exp(-2x) loses for a small loss of a period.
            "_relative_i2t": "CASE WHEN _damping >= 1e0 THEN 1e0 / (4e0 * _damping) "
            "WHEN _decay > 1e0 THEN (1e0 - exp(-_decay)) / (4e0 * _damping) "
            "ELSE pi() / (2e0 * _root) * exp(-_decay / 2e0) "
            "* CASE WHEN _decay > 0e0 THEN sinh(_decay / 2e0) / (_decay / 2e0) ELSE 1e0 END END",
        },
    ]


_PULSE_OUTPUTS = {
    "damping_ratio": "_damping",
    "peak_a": "_crest_v / _impedance * _height",
    "time_to_peak_s": (
        "CASE WHEN _inductance_h = _inductance THEN _instant * _period "
        "WHEN _inductance_h = 0e0 THEN 0e0 "
        "WHEN _inductance_h < _inductance "
        "THEN _ramp * ln(_resistance_ohm / _ramp * _capacitance_f) END"
    ),
    "width_s": "(_fall - _rise) * _period",
    "i2t_a2s": "_capacitance_f * _crest_v * _crest_v / _impedance * _relative_i2t",
}

PULSE = StagedQuery(
    {name: RANGES[name] for name in ("crest_v", "resistance_ohm", "inductance_h", "capacitance_f")},
    _pulse_stages(),
    {role: f"CASE WHEN _damping IS NOT NULL THEN {text} END" for role, text in _PULSE_OUTPUTS.items()},
)

GROUP_PULSE = StagedQuery(
    {
        name: RANGES[name]
        for name in (
            "crest_v",
            "source_resistance_ohm",
            "source_inductance_h",
            "driver_resistance_ohm",
            "driver_inductance_h",
            "driver_capacitance_f",
            "driver_count",
        )
    },
    [
        {
            "_resistance_ohm": "_source_resistance_ohm + _driver_resistance_ohm / _driver_count",
            "_inductance_h": "_source_inductance_h + _driver_inductance_h / _driver_count",
            "_capacitance_f": "_driver_count * _driver_capacitance_f",
        },
        *PULSE.stages,
    ],
    PULSE.outputs,
)


_LEAST_ROOT = number(math.sqrt(LEAST_RATIO))
_MISS = f"sqrt((_fall - _rise) / _height) - {_LEAST_ROOT} - _wanted"


def _fit_start() -> list[Stage]:
    """zeta of the loop from a polynomial, and its W."""
    turn = [power * term for power, term in enumerate(DAMPING_START)][1:]
    return [
        {"_volt_seconds": "_test_crest_v * _stated_width_s / _stated_peak_a"},
        {"_limit": f"_volt_seconds / {number(MOST_RATIO)}"},
        {"_inductance": larger("_test_inductance_h", "_limit")},
        {
            "_ratio": "_volt_seconds / _inductance",
            "_part": "_stated_peak_a * _test_resistance_ohm / _test_crest_v",
        },
        {"_wanted": f"CASE WHEN _ratio >= {number(LEAST_RATIO)} THEN sqrt(_ratio) - {_LEAST_ROOT} END"},
        {"_part_of_start": "_wanted / (1e0 + _wanted)"},
        {
            "_start": polynomial_text(DAMPING_START, "_part_of_start"),
            "_turn": polynomial_text(turn, "_part_of_start"),
        },
        {
            "_damping": "_wanted * _start",
            "_chord": "_start + _part_of_start * (1e0 - _part_of_start) * _turn",
        },
        *_shape("_damping"),
        *_starts("_damping"),
        *_closer("_damping"),
    ]


def _fit_steps() -> list[Stage]:
    """Three improvements of zeta: one by the slope of the polynomial, then two by the secant."""
    stages: list[Stage] = [{"_miss": _MISS}]
    secant = {
        "_chord": "CASE WHEN _last_miss <> _miss AND _step <> 0e0 "
        "THEN _step / (_last_miss - _miss) ELSE _chord END"
    }
    for last in (False, False, True):
        stages += [
            {"_step": "CASE WHEN _wanted > 0e0 THEN _chord * _miss ELSE 0e0 END"},
            {"_damping": "_damping - _step", "_last_miss": "_miss"},
            *_shape("_damping"),
            *_closer("_damping"),
        ]
        if not last:
            stages += [{"_miss": _MISS}, secant]
    return stages


def _share_stages() -> list[Stage]:
    """zeta with 2 zeta h = share for the clamped rows (NULL for others): Newton on the logit."""
    stages: list[Stage] = [
        {
            "_clamped_damping": f"CASE WHEN _rest < 0e0 AND _part <= {number(MOST_SHARE)} "
            "THEN _part / 2e0 / sqrt(1e0 - _part) END"
        }
    ]
    for _ in range(4):
        stages += [
            *_shape("_clamped_damping"),
            {
                "_reached": "2e0 * _clamped_damping * _height",
                "_slope": "CASE WHEN abs(_square) < 1e-6 THEN 1e0 / 3e0 "
                "ELSE 1e0 + _clamped_damping * (_clamped_damping - _instant) / _square END",
            },
            {
                "_clamped_damping": "_clamped_damping * exp((ln(_part / (1e0 - _part)) "
                "- ln(_reached / (1e0 - _reached))) * (1e0 - _reached) / _slope)"
            },
        ]
    return stages


DRIVER_FIT = StagedQuery(
    STATED,
    [
        *_fit_start(),
        *_fit_steps(),
        {"_fitted": "_damping", "_width": "_fall - _rise"},
        {"_rest": "2e0 * _fitted * _inductance * _width / _stated_width_s - _test_resistance_ohm"},
        *_share_stages(),
        {
            "_outcome": "CASE WHEN _ratio IS NULL OR _part IS NULL THEN NULL "
            "WHEN _wanted IS NULL THEN 'infeasible' WHEN _rest >= 0e0 THEN 'fits' "
            f"WHEN _rest < 0e0 AND _part > {number(MOST_SHARE)} THEN 'infeasible' "
            "WHEN _rest < 0e0 THEN 'clamped' END"
        },
    ],
    {
        "outcome": "_outcome",
        "driver_resistance_ohm": "CASE _outcome WHEN 'fits' THEN _rest WHEN 'clamped' THEN 0e0 END",
        "driver_capacitance_f": "CASE _outcome "
        "WHEN 'fits' THEN _stated_width_s / _width * (_stated_width_s / _width) / _inductance "
        "WHEN 'clamped' THEN _inductance * (2e0 * _clamped_damping / _test_resistance_ohm) ** 2e0 END",
        "damping_ratio": "CASE _outcome WHEN 'fits' THEN _fitted WHEN 'clamped' THEN _clamped_damping END",
    },
)
