"""Conductor resistance, voltage drop on mains cable, and voltage rise on a control line.

Resistances are of one conductor per kilometre; a circuit has two, out and back. IEC 60228 gives the
greatest resistance at 20 degC for each cross-section (standard, second hand: four reproductions
agree); its temperature factors are those of R20 = Rt 250/(230 + t), alpha 0.004 per K. Pure copper
has 0.00393 per K at 20 degC (IACS, second hand), 0.3 % less at 70 degC: name which one is meant.
"""

from __future__ import annotations

import math
from typing import Literal

from compat.physics.ranges import Range, check_all
from compat.physics.staged import StagedQuery, number

RANGES = {
    "cross_section_mm2": Range(0.05, 1000.0),
    "resistance_20_ohm_per_km": Range(1e-3, 1000.0),
    "temperature_celsius": Range(-40.0, 150.0),
    "resistance_ohm_per_km": Range(0.0, 2000.0),
    "length_m": Range(0.0, 10_000.0),
    "current_a": Range(0.0, 1000.0),
    "load_count": Range(1.0, 10_000.0),
    "voltage_v": Range(1.0, 1000.0),
    "control_current_a": Range(0.0, 10.0),
}
COPPER_OHM_MM2_PER_KM = 17.241
IEC_60228_ALPHA = 0.004
COPPER_ALPHA = 0.00393
# mm2 -> ohm/km at 20 degC, plain copper: solid and stranded (class 1 and 2), flexible (class 5).
CLASS_1_2 = {
    0.5: 36.0, 0.75: 24.5, 1.0: 18.1, 1.5: 12.1, 2.5: 7.41, 4.0: 4.61, 6.0: 3.08, 10.0: 1.83,
}  # fmt: skip
CLASS_5 = {
    0.5: 39.0, 0.75: 26.0, 1.0: 19.5, 1.5: 13.3, 2.5: 7.98, 4.0: 4.95, 6.0: 3.30, 10.0: 1.91,
}  # fmt: skip

ConductorClass = Literal["class_1_2", "class_5"]
Rule = Literal["iec_60228", "copper"]


def nominal_resistance(cross_section_mm2: float, conductor_class: ConductorClass) -> float:
    """Greatest resistance at 20 degC in ohm/km of a nominal cross-section, plain copper.

    0.5 to 10 mm2 in the steps of the standard; others raise ValueError, since the table is not to
    be interpolated. Source: IEC 60228 Tables 1 to 3 (standard, second hand).
    """
    table = {"class_1_2": CLASS_1_2, "class_5": CLASS_5}.get(conductor_class)
    if table is None or cross_section_mm2 not in table:
        sizes = ", ".join(f"{size:g}" for size in CLASS_1_2)
        raise ValueError(
            f"no table value for {cross_section_mm2!r} mm2 of {conductor_class!r}; sizes are {sizes} mm2, "
            "classes class_1_2 and class_5"
        )
    return table[cross_section_mm2]


def gauge_cross_section_mm2(gauge: int) -> float:
    """Cross-section of an American wire gauge in mm2; -3 (4/0) to 40, 0 is 1/0.

    d = 0.127 mm 92^((36 - n)/39), A = pi d^2/4: 18 AWG is 1.0237 mm and 0.823 mm2. Raises
    ValueError. Source: ASTM B258 (standard, verified in a public copy).
    """
    return math.pi / 4.0 * gauge_diameter_mm(gauge) ** 2


def gauge_diameter_mm(gauge: int) -> float:
    """Diameter of an American wire gauge in mm; see ``gauge_cross_section_mm2``."""
    Range(-3, 40).check("gauge", gauge)
    return 0.127 * math.pow(92.0, (36.0 - gauge) / 39.0)


def copper_resistance(cross_section_mm2: float) -> float:
    """Resistance at 20 degC in ohm/km of solid copper of a true cross-section: 17.241 / A.

    0.05 to 1000 mm2; for gauges, not for nominal metric sizes. Raises ValueError. Source: IACS
    resistivity 0.017241 ohm mm2/m (standard, second hand).
    """
    check_all(RANGES, cross_section_mm2=cross_section_mm2)
    return COPPER_OHM_MM2_PER_KM / cross_section_mm2


def resistance_at(
    resistance_20_ohm_per_km: float, temperature_celsius: float, rule: Rule = "iec_60228"
) -> float:
    """Resistance in ohm/km at a conductor temperature of -40 to 150 degC.

    R20 (1 + alpha (t - 20)), alpha 0.004 for ``iec_60228`` (the factors of the standard, standard,
    second hand) or 0.00393 for ``copper``. 12.1 ohm/km at 70 degC: 14.52. Raises ValueError.
    """
    check_all(
        RANGES,
        resistance_20_ohm_per_km=resistance_20_ohm_per_km,
        temperature_celsius=temperature_celsius,
    )
    alphas = {"iec_60228": IEC_60228_ALPHA, "copper": COPPER_ALPHA}
    if rule not in alphas:
        raise ValueError(f"rule is {rule!r}; allowed are iec_60228 and copper")
    return resistance_20_ohm_per_km * (1.0 + alphas[rule] * (temperature_celsius - 20.0))


def drop_at_end_v(resistance_ohm_per_km: float, length_m: float, current_a: float) -> float:
    """Voltage drop in volts with the whole load at the end: 2 R l I, single phase, cos phi 1.

    Ohm/km of one conductor at its temperature, metres, amperes. Inductance is left out: up to 10
    mm2 it is below 3 % of the resistance. Raises ValueError. Source: textbook.
    """
    check_all(
        RANGES,
        resistance_ohm_per_km=resistance_ohm_per_km,
        length_m=length_m,
        current_a=current_a,
    )
    return 2.0 * resistance_ohm_per_km / 1000.0 * length_m * current_a


def drop_spread_v(resistance_ohm_per_km: float, length_m: float, current_a: float) -> float:
    """Drop in volts to the far end with the load spread evenly along the length: half of it."""
    return drop_at_end_v(resistance_ohm_per_km, length_m, current_a) / 2.0


def drop_at_points_v(
    resistance_ohm_per_km: float, pitch_m: float, current_each_a: float, load_count: int
) -> float:
    """Drop in volts to the last of N equal loads at equal pitch: 2 R p i N(N + 1)/2.

    ``pitch_m`` also from the start to the first load; amperes of one load; 1 to 10,000 loads.
    Raises ValueError. Source: derived.
    """
    check_all(RANGES, load_count=load_count)
    reach = load_count * (load_count + 1) / 2.0
    return drop_at_end_v(resistance_ohm_per_km, pitch_m, current_each_a) * reach


def longest_length_m(resistance_ohm_per_km: float, current_a: float, drop_v: float) -> float:
    """Length in metres at which a load at the end drops ``drop_v`` (0 to 1000 V).

    Resistance and current must be above 0. Raises ValueError. Source: textbook.
    """
    check_all(RANGES, resistance_ohm_per_km=resistance_ohm_per_km, current_a=current_a)
    Range(0.0, 1000.0).check("drop_v", drop_v)
    per_metre = drop_at_end_v(resistance_ohm_per_km, 1.0, current_a)
    if per_metre == 0.0:
        raise ValueError("resistance_ohm_per_km and current_a must both be above 0")
    return drop_v / per_metre


def control_line_rise_v(resistance_ohm_per_km: float, length_m: float, control_current_a: float) -> float:
    """By how many volts a 0-10 V line reads higher at the far driver than at the control.

    Drivers that source the current push it through the pair to a control that sinks it, so the
    voltage at the driver is higher by 2 R l I: lights do not reach their lowest level. With a
    control that sources, the same figure is a loss. Amperes of all drivers, taken at the end of the
    line (the worst place). Raises ValueError. Source: derived.
    """
    check_all(RANGES, control_current_a=control_current_a)
    return drop_at_end_v(resistance_ohm_per_km, length_m, control_current_a)


VOLTAGE_DROP = StagedQuery(
    {
        name: RANGES[name]
        for name in (
            "resistance_20_ohm_per_km",
            "temperature_celsius",
            "length_m",
            "current_a",
            "voltage_v",
        )
    },
    [
        {
            "_resistance": "_resistance_20_ohm_per_km * (1e0 + "
            f"{number(IEC_60228_ALPHA)} * (_temperature_celsius - 20e0))"
        },
        {"_drop": "2e0 * _resistance / 1000e0 * _length_m * _current_a"},
    ],
    {
        "resistance_ohm_per_km": "_resistance",
        "drop_at_end_v": "_drop",
        "drop_at_end_share": "_drop / _voltage_v",
        "drop_spread_v": "_drop / 2e0",
    },
)
"""Resistance at temperature by IEC 60228, drop at the end and its share of ``voltage_v``, drop of
a spread load. With the control current as current_a, drop_at_end_v is the control-line rise."""

POINT_DROP = StagedQuery(
    {
        "resistance_ohm_per_km": RANGES["resistance_ohm_per_km"],
        "pitch_m": RANGES["length_m"],
        "current_each_a": RANGES["current_a"],
        "load_count": RANGES["load_count"],
    },
    [{"_reach": "_load_count * (_load_count + 1e0) / 2e0"}],
    {"drop_at_points_v": "2e0 * _resistance_ohm_per_km / 1000e0 * _pitch_m * _current_each_a * _reach"},
)
"""Adds drop_at_points_v, the drop to the last of equal loads at equal pitch."""
