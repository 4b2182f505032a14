"""Conductor resistance, voltage drop on mains cable, and voltage rise on a control line.

Resistances are of one conductor per kilometre; a circuit has two, out and back. IEC 60228 gives the
greatest resistance at 20 degC for each cross-section (standard, second hand: four reproductions
agree); its temperature factors are those of R20 = Rt 250/(230 + t), alpha 0.004 per K. Pure copper
has 0.00393 per K at 20 degC (IACS, second hand), 0.3 % less at 70 degC: name which one is meant.
"""

from __future__ import annotations

from typing import Literal

from compat.physics.ranges import Range, check_all

RANGES = {
    "resistance_20_ohm_per_km": Range(1e-3, 1000.0),
    "temperature_celsius": Range(-40.0, 150.0),
    "resistance_ohm_per_km": Range(0.0, 2000.0),
    "length_m": Range(0.0, 10_000.0),
    "current_a": Range(0.0, 1000.0),
    "control_current_a": Range(0.0, 10.0),
}
IEC_60228_ALPHA = 0.004
COPPER_ALPHA = 0.00393
# mm2 -> ohm/km at 20 degC, plain copper, solid and stranded (class 1 and 2).
CLASS_1_2 = {
    0.5: 36.0, 0.75: 24.5, 1.0: 18.1, 1.5: 12.1, 2.5: 7.41, 4.0: 4.61, 6.0: 3.08, 10.0: 1.83,
}  # fmt: skip

Rule = Literal["iec_60228", "copper"]


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


def control_line_rise_v(resistance_ohm_per_km: float, length_m: float, control_current_a: float) -> float:
    """By how many volts a 0-10 V line reads higher at the far driver than at the control.

    Drivers that source the current push it through the pair to a control that sinks it, so the
    voltage at the driver is higher by 2 R l I: lights do not reach their lowest level. With a
    control that sources, the same figure is a loss. Amperes of all drivers, taken at the end of the
    line (the worst place). Raises ValueError. Source: derived.
    """
    check_all(RANGES, control_current_a=control_current_a)
    return drop_at_end_v(resistance_ohm_per_km, length_m, control_current_a)
