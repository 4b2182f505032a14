"""Impedance of the supply at the point of the circuit, as intervals of resistance and inductance.

Everything counts line and neutral together. Least impedance gives the largest inrush, so the low
ends decide whether a breaker holds.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from compat.model.values import Interval
from compat.physics.inrush_circuit import SourceRange
from compat.physics.ranges import Range

VOLTAGE_V = Range(1.0, 1000.0)
FREQUENCY_HZ = Range(16.0, 70.0)
FAULT_CURRENT_A = Range(1.0, 200_000.0)
REACTANCE_RATIO = Range(0.0, 20.0)
RATED_POWER_VA = Range(100.0, 1e8)
SHORT_CIRCUIT_PERCENT = Range(0.5, 30.0)
LOAD_LOSS_W = Range(0.0, 1e6)
LENGTH_M = Range(0.0, 10_000.0)
LOOP_RESISTANCE_OHM_PER_KM = Range(0.0, 1000.0)
LOOP_INDUCTANCE_UH_PER_M = Range(0.0, 10.0)


def source_of_fault_current(
    voltage_v: float, fault_current_a: Interval, reactance_ratio: Interval, frequency_hz: float
) -> SourceRange:
    """Source from the prospective fault current between line and neutral at the point.

    Z = V / I with V the r.m.s. voltage to neutral (1 to 1000 V) and I in amperes (1 to 200,000);
    ``reactance_ratio`` is X/R (0 to 20): near 0 at the end of a final circuit, above 1 next to a
    transformer. R = Z / sqrt(1 + (X/R)^2), L = X / (2 pi f). Raises ValueError. Source: textbook
    (Ohm's law for the phasors), derived. The 0.4 + j0.25 ohm reference impedance of IEC TR 60725
    (verified) has 488 A and X/R = 0.625.
    """
    VOLTAGE_V.check("voltage_v", voltage_v)
    FREQUENCY_HZ.check("frequency_hz", frequency_hz)
    FAULT_CURRENT_A.check_interval("fault_current_a", fault_current_a)
    REACTANCE_RATIO.check_interval("reactance_ratio", reactance_ratio)
    least, most = voltage_v / fault_current_a.high, voltage_v / fault_current_a.low
    resistive, inductive = reactance_ratio.low, reactance_ratio.high
    omega = 2.0 * math.pi * frequency_hz
    return SourceRange(
        Interval(least / math.hypot(1.0, inductive), most / math.hypot(1.0, resistive)),
        Interval(
            least * resistive / math.hypot(1.0, resistive) / omega,
            most * inductive / math.hypot(1.0, inductive) / omega,
        ),
    )


def source_of_transformer(
    rated_power_va: float,
    voltage_v: float,
    short_circuit_percent: Interval,
    load_loss_w: Interval,
    frequency_hz: float,
) -> SourceRange:
    """A transformer seen from one line to neutral of its secondary.

    Three-phase: ``rated_power_va`` of all phases and ``voltage_v`` between lines; single-phase:
    its rating and its secondary voltage; both have Z = (u/100) V^2/S, R = P V^2/S^2 with P the load
    loss at rated current in watts, X = sqrt(Z^2 - R^2). The network above it is taken as ideal,
    which is the safe side. Raises ValueError, also when the losses need more than the whole
    impedance. Source: textbook (short-circuit test of a transformer), derived.
    """
    RATED_POWER_VA.check("rated_power_va", rated_power_va)
    VOLTAGE_V.check("voltage_v", voltage_v)
    FREQUENCY_HZ.check("frequency_hz", frequency_hz)
    SHORT_CIRCUIT_PERCENT.check_interval("short_circuit_percent", short_circuit_percent)
    LOAD_LOSS_W.check_interval("load_loss_w", load_loss_w)
    base = voltage_v**2 / rated_power_va
    resistance = [base * loss / rated_power_va for loss in (load_loss_w.low, load_loss_w.high)]
    least, most = (base * part / 100.0 for part in (short_circuit_percent.low, short_circuit_percent.high))
    if resistance[1] > least:
        raise ValueError(
            f"load_loss_w up to {load_loss_w.high!r} W is more than a short-circuit voltage of "
            f"{short_circuit_percent.low!r} % allows; at most "
            f"{short_circuit_percent.low / 100.0 * rated_power_va:g} W"
        )
    omega = 2.0 * math.pi * frequency_hz
    return SourceRange(
        Interval(resistance[0], resistance[1]),
        Interval(
            math.sqrt(least**2 - resistance[1] ** 2) / omega,
            math.sqrt(most**2 - resistance[0] ** 2) / omega,
        ),
    )


def source_of_cable(
    length_m: Interval, loop_resistance_ohm_per_km: Interval, loop_inductance_uh_per_m: Interval
) -> SourceRange:
    """A length of cable, out and back: loop resistance is twice that of one conductor.

    0 to 10,000 m; resistance from ``cable.resistance_at`` at the coldest and warmest conductor;
    inductance of the loop, 0.5 to 0.7 uH/m for installation cable (derived from 0.08 mohm/m a
    conductor at 50 Hz, IEC 60364-5-52 Annex G, from memory). Raises ValueError.
    """
    LENGTH_M.check_interval("length_m", length_m)
    LOOP_RESISTANCE_OHM_PER_KM.check_interval("loop_resistance_ohm_per_km", loop_resistance_ohm_per_km)
    LOOP_INDUCTANCE_UH_PER_M.check_interval("loop_inductance_uh_per_m", loop_inductance_uh_per_m)
    return SourceRange(
        Interval(
            length_m.low * loop_resistance_ohm_per_km.low / 1000.0,
            length_m.high * loop_resistance_ohm_per_km.high / 1000.0,
        ),
        Interval(
            length_m.low * loop_inductance_uh_per_m.low * 1e-6,
            length_m.high * loop_inductance_uh_per_m.high * 1e-6,
        ),
    )


def sources_in_series(parts: Iterable[SourceRange]) -> SourceRange:
    """The sum of impedances one behind the other, such as transformer, main and circuit cable.

    Ohm and henry; no parts give 0. Source: textbook.
    """
    parts = list(parts)
    return SourceRange(
        Interval(
            sum(part.resistance_ohm.low for part in parts),
            sum(part.resistance_ohm.high for part in parts),
        ),
        Interval(
            sum(part.inductance_h.low for part in parts),
            sum(part.inductance_h.high for part in parts),
        ),
    )
