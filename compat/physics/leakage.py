"""Current that a capacitance passes to a load that is switched off.

A control without a neutral feeds itself through the load, and a live core couples into a switched one
beside it; either charges the capacitor of a driver until the lamp glows or flashes.
"""

from __future__ import annotations

import math

from compat.physics.ranges import Range, check_all

RANGES = {
    "voltage_v": Range(1.0, 1000.0),
    "frequency_hz": Range(16.0, 70.0),
    "capacitance_f": Range(0.0, 1e-3),
    "length_m": Range(0.0, 10_000.0),
    "capacitance_f_per_m": Range(0.0, 1e-8),
}


def capacitive_current_a(voltage_v: float, frequency_hz: float, capacitance_f: float) -> float:
    """2 pi f C V in amperes r.m.s.: 10 nF at 230 V 50 Hz pass 0.723 mA.

    Volts r.m.s. 1 to 1000, 16 to 70 Hz, farad up to 1 mF. Raises ValueError. Source: textbook.
    """
    check_all(RANGES, voltage_v=voltage_v, frequency_hz=frequency_hz, capacitance_f=capacitance_f)
    return 2.0 * math.pi * frequency_hz * capacitance_f * voltage_v


def cable_coupled_current_a(
    voltage_v: float, frequency_hz: float, length_m: float, capacitance_f_per_m: float
) -> float:
    """Current in amperes that a live core couples into a switched-off one beside it.

    2 pi f c l V; c is 100 pF/m and upwards for installation cable (read on a technical page) to 150 pF/m
    (from memory): 50 m give 0.36 to 0.54 mA at 230 V 50 Hz. Metres up to 10,000. Raises ValueError.
    Source: derived.
    """
    check_all(RANGES, length_m=length_m, capacitance_f_per_m=capacitance_f_per_m)
    return capacitive_current_a(voltage_v, frequency_hz, length_m * capacitance_f_per_m)
