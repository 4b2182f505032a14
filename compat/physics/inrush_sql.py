"""The pulse and its inverse as staged DuckDB queries; formulas and sources as in ``inrush``, but for
the width and the time to peak: ``inrush`` iterates, here they are fitted functions of zeta.

``PULSE.over(relation)`` reads crest_v, resistance_ohm, inductance_h, capacitance_f;
``GROUP_PULSE`` the source, one driver and driver_count; both add damping_ratio, peak_a,
time_to_peak_s, width_s, i2t_a2s. ``DRIVER_FIT`` reads what is stated and the test source and adds
outcome (fits, clamped, infeasible), driver_resistance_ohm, driver_capacitance_f, damping_ratio.
"""

from __future__ import annotations

import math

from compat.physics.inrush import MOST_DAMPING, RANGES
from compat.physics.inrush_inverse import LEAST_RATIO, MOST_RATIO, MOST_SHARE, STATED
from compat.physics.staged import StagedQuery, larger, number, polynomial_text

Stage = dict[str, str]

# All fits below are derived here, by weighted least squares in numbers of 18 digits; the weights were
# raised where the error was largest until it was even (the ratio with its denominator lagging). The
# instants to fit were found by bisection and Newton steps, also with 18 digits. The errors stated
# are the largest ones, rounding left out; a test finds them again with another root finder.
# Up to this zeta the fits hold, above it the fall to half the peak is a formula.
FITTED_TO = 5.0
# Fits run in 4.54 - 14.2102 / (c + 1.565) with c = sqrt(1 + zeta), -1 to 1 for zeta 0 to 5: it
# maps the plane less zeta < -1, where the time to peak is singular, on a disc.
CENTRE, PLACE_AT_INFINITY, PLACE_SPAN = 1.565, 4.54, 14.2102
# c times the time to peak w0 t, zeta 0 to 5, within 2.5e-14.
PEAK_INSTANT = (
    1.3660015130828758, -0.21147047019568163, -0.007371472801629763, -0.000771063470904278,
    -9.455053261087066e-05, -1.3307561161688528e-05, -2.0331169127831133e-06,
    -3.2879880597964727e-07, -5.5198046830525027e-08, -9.567998366060488e-09,
    -1.9054595767601738e-09, -3.595782557570092e-10,
)  # fmt: skip
# The width W = w0 t50, zeta 0 to 5, as a ratio of two polynomials within 1.1e-13. The ratio is
# needed: the instant of the fall has branch points near zeta = 1.25 +- 0.9i, so polynomials fit badly.
WIDTH_ABOVE = (
    2.853601198601447, -5.602955126151196, 41.5347242485113, -64.61228562429834, 228.1590318515902,
    -260.392202715779, 581.4237185453616, -444.17826027838237, 687.240204723047, -320.03468620039723,
    336.7951481209708, -91.5652956459934, 50.02326419414171, -9.519097436935596,
)  # fmt: skip
WIDTH_BELOW = (
    1.0, -2.753619760734272, 15.989109061895485, -33.1549663875299, 94.37273436723105,
    -141.76266839106424, 249.93061475964606, -260.34636752830943, 290.87506948969934,
    -200.42818398779409, 128.0964368930376, -54.69277958501999, 14.919258423753284,
    -2.930065748216969, 0.3169665245519806,
)  # fmt: skip
# (1 + zeta) times the instant of the rise to half the peak, zeta 5 to 1e8, within 5e-14 of the width.
LATE_RISE = (
    0.44775468296259924, -0.06726257088781341, 0.013853386354071498, 0.0023173257014741286,
    -0.0026939937873787503, 0.0011008865067018805, -0.00029189854076096857, 5.359084281386346e-05,
    -6.6204088730233905e-06, 4.968148794257702e-07, -1.7123017356866987e-08,
)  # fmt: skip
# Below this damping a series replaces 1 - exp(-x), which loses digits there.
LITTLE_DAMPING = 1e-3
# zeta / y in y/(1 + y) with y = sqrt(ratio) - sqrt(2 pi/3), within 4e-4; fitted (derived here).
DAMPING_START = (
    0.88012497, 0.06616439, 1.07556271, -9.00258938, 34.38833965, -64.57528878, 42.83839414,
    21.1944184, -40.2977744, 14.03343571,
)  # fmt: skip


def _shape(damping: str) -> list[Stage]:
    """From the damping ratio to the relative time to peak, width and peak.

    Fitted polynomials are computed for every row before the CASE that picks: arithmetic on whole
    columns costs half of what it costs on the rows of one branch.
    """
    above, below = polynomial_text(WIDTH_ABOVE, "_place"), polynomial_text(WIDTH_BELOW, "_place")
    fitted = f"{damping} <= {number(FITTED_TO)}"
    return [
        {
            "_stretch": f"sqrt(1e0 + {damping})",
            "_root": f"sqrt(abs((1e0 - {damping}) * (1e0 + {damping})))",
        },
        {"_place": f"{number(PLACE_AT_INFINITY)} - {number(PLACE_SPAN)} / (_stretch + {number(CENTRE)})"},
        {
            "_fitted_instant": f"{polynomial_text(PEAK_INSTANT, '_place')} / _stretch",
            "_fitted_width": f"{above} / {below}",
        },
        {"_instant": f"CASE WHEN {fitted} THEN _fitted_instant ELSE ln({damping} + _root) / _root END"},
        {"_faded": f"{damping} * _instant"},
        {
            "_height": "exp(-_faded)",
            # For zeta > 5 the faster of the two exponentials is below 1e-18 when the current falls.
            "_width": f"CASE WHEN {fitted} THEN _fitted_width "
            f"ELSE ({damping} + _root) * (_faded - ln(_root)) "
            f"- {polynomial_text(LATE_RISE, '_place')} / (1e0 + {damping}) END",
        },
    ]


def _pulse_stages() -> list[Stage]:
    most = number(2.0 * MOST_DAMPING)
    return [
        {"_plain_impedance": "sqrt(_inductance_h / _capacitance_f)"},
        {
            # R / (2 Z0) is at most 1e8: the inductance is raised to that. Both 0 has no answer.
            "_impedance": f"CASE WHEN _resistance_ohm < {most} * _plain_impedance "
            f"THEN _plain_impedance WHEN _resistance_ohm >= {most} * _plain_impedance "
            f"AND _resistance_ohm > 0e0 THEN _resistance_ohm / {most} END"
        },
        {"_damping": "_resistance_ohm / _impedance / 2e0"},
        *_shape("_damping"),
        {
            "_period": "_impedance * _capacitance_f",
            "_ramp": "_inductance_h / _resistance_ohm",
            "_turn": f"{number(2 * math.pi)} * _damping / _root",
        },
        {
            "_lost": "CASE WHEN _damping < 1e0 THEN 1e0 - exp(-_turn) ELSE 1e0 END",
        },
    ]


# 1 - exp(-x) = x times this, within 2e-14 for x up to 2 pi / 1000.
_LITTLE_LOST = "(1e0 - _turn / 2e0 * (1e0 - _turn / 3e0 * (1e0 - _turn / 4e0 * (1e0 - _turn / 5e0))))"

PULSE = StagedQuery(
    {name: RANGES[name] for name in ("crest_v", "resistance_ohm", "inductance_h", "capacitance_f")},
    _pulse_stages(),
    {
        "damping_ratio": "_damping",
        "peak_a": "_crest_v / _impedance * _height",
        "time_to_peak_s": "CASE WHEN _impedance = _plain_impedance THEN _instant * _period "
        "WHEN _impedance > _plain_impedance THEN CASE WHEN _inductance_h = 0e0 THEN 0e0 "
        "ELSE _ramp * ln(_resistance_ohm / _ramp * _capacitance_f) END END",
        "width_s": "_width * _period",
        "i2t_a2s": f"CASE WHEN _damping > {number(LITTLE_DAMPING)} "
        "THEN _crest_v * _crest_v * _capacitance_f / (2e0 * _resistance_ohm) * _lost "
        f"ELSE pi() / 2e0 / _root * _crest_v * _crest_v / _impedance * _capacitance_f * {_LITTLE_LOST} END",
    },
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
_MISS = f"sqrt(_width / _height) - {_LEAST_ROOT} - _wanted"


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
                "_square": "(1e0 - _clamped_damping) * (1e0 + _clamped_damping)",
            },
            {
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
        {"_met_damping": "_damping", "_met_width": "_width"},
        {"_rest": "2e0 * _met_damping * _inductance * _met_width / _stated_width_s - _test_resistance_ohm"},
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
        "WHEN 'fits' THEN _stated_width_s / _met_width * (_stated_width_s / _met_width) / _inductance "
        "WHEN 'clamped' THEN _inductance * (2e0 * _clamped_damping / _test_resistance_ohm) ** 2e0 END",
        "damping_ratio": "CASE _outcome WHEN 'fits' THEN _met_damping "
        "WHEN 'clamped' THEN _clamped_damping END",
    },
)
