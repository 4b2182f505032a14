"""Off-state current of two-wire controls, ghosting, and the bypass that cures it.

A control without a neutral feeds itself through the load; its off-state current charges the
driver's capacitor until the lamp glows or flashes. The current is taken as the same whatever the
load (a capacitive control passes at most 2 pi f C V; derived). Most, but not all, drivers state
what they tolerate: without that figure the answer is ``cannot_tell``.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from compat.model.values import Interval
from compat.physics.ranges import Range, check_all
from compat.physics.staged import StagedQuery, number

RANGES = {
    "voltage_v": Range(1.0, 1000.0),
    "frequency_hz": Range(16.0, 70.0),
    "capacitance_f": Range(0.0, 1e-3),
    "length_m": Range(0.0, 10_000.0),
    "capacitance_f_per_m": Range(0.0, 1e-8),
    "off_state_current_a": Range(0.0, 10.0),
    "tolerated_current_a": Range(0.0, 10.0),
    "lamp_starts_at_v": Range(0.1, 1000.0),
}
# The bypass must carry some current, or no bypass is needed.
BYPASS_CURRENT_A = Range(1e-6, 10.0)

Ghosting = Literal["stays_off", "ghosts", "cannot_tell"]


@dataclass(frozen=True, slots=True)
class Bypass:
    """A part across the load. ``power_w`` (resistor) or ``current_a`` (capacitor) when on."""

    resistance_ohm: float
    resistor_power_w: float
    capacitance_f: float
    capacitor_current_a: float


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

    2 pi f c l V; c is 100 to 150 pF/m for installation cable (from memory): 50 m give 0.36 to
    0.54 mA at 230 V 50 Hz. Metres up to 10,000. Raises ValueError. Source: derived.
    """
    check_all(RANGES, length_m=length_m, capacitance_f_per_m=capacitance_f_per_m)
    return capacitive_current_a(voltage_v, frequency_hz, length_m * capacitance_f_per_m)


def ghosting(off_state_current_a: Interval, tolerated_current_a: Interval | None) -> Ghosting:
    """Whether the lamps stay off: the control's off-state current against what they tolerate.

    Amperes. ``tolerated_current_a`` is the sum of what the drivers in parallel tolerate, None when
    not stated. Raises ValueError. Source: NEMA SSL 7A 3.10/4.9 pairs these two (headings read; its
    figures were not), common practice.
    """
    RANGES["off_state_current_a"].check_interval("off_state_current_a", off_state_current_a)
    if tolerated_current_a is None:
        return "cannot_tell"
    RANGES["tolerated_current_a"].check_interval("tolerated_current_a", tolerated_current_a)
    if off_state_current_a.high <= tolerated_current_a.low:
        return "stays_off"
    return "ghosts" if off_state_current_a.low > tolerated_current_a.high else "cannot_tell"


def bypass(
    off_state_current_a: float, lamp_starts_at_v: float, voltage_v: float, frequency_hz: float
) -> Bypass:
    """The part across the load that keeps it below the voltage at which the lamp starts.

    The whole off-state current is led through the bypass: R = V_start / I (and the watts it burns
    when on, V^2/R), or C = I / (2 pi f V_start) (and the reactive amperes when on). Largest R
    and smallest C that do. A capacitor belongs on switched and reverse-phase outputs only: forward
    phase drives a peak through it every half cycle. It must be made for permanent mains voltage
    and be fitted by a licensed electrician. Amperes from 1 uA, volts r.m.s., hertz. Raises
    ValueError, also when the lamp would start above the supply voltage, where no bypass is needed.
    Source: derived; the remedy itself is common practice, no source.
    """
    BYPASS_CURRENT_A.check("off_state_current_a", off_state_current_a)
    check_all(RANGES, lamp_starts_at_v=lamp_starts_at_v, voltage_v=voltage_v, frequency_hz=frequency_hz)
    if lamp_starts_at_v >= voltage_v:
        raise ValueError(
            f"lamp_starts_at_v is {lamp_starts_at_v!r}; it must be below the supply of {voltage_v!r} V"
        )
    resistance = lamp_starts_at_v / off_state_current_a
    capacitance = off_state_current_a / (2.0 * math.pi * frequency_hz * lamp_starts_at_v)
    return Bypass(
        resistance,
        voltage_v**2 / resistance,
        capacitance,
        off_state_current_a * voltage_v / lamp_starts_at_v,
    )


LEAKAGE = StagedQuery(
    {
        name: RANGES[name]
        for name in ("voltage_v", "frequency_hz", "capacitance_f", "length_m", "capacitance_f_per_m")
    },
    [{"_omega": f"{number(2.0 * math.pi)} * _frequency_hz"}],
    {
        "capacitive_current_a": "_omega * _capacitance_f * _voltage_v",
        "cable_coupled_current_a": "_omega * _length_m * _capacitance_f_per_m * _voltage_v",
    },
)
"""Adds capacitive_current_a and cable_coupled_current_a; each NULL only for its own inputs."""

BYPASS = StagedQuery(
    {
        "off_state_current_a": BYPASS_CURRENT_A,
        **{name: RANGES[name] for name in ("lamp_starts_at_v", "voltage_v", "frequency_hz")},
    },
    [
        {
            "_known": "_lamp_starts_at_v < _voltage_v",
            "_omega": f"{number(2.0 * math.pi)} * _frequency_hz",
        },
        {
            "_resistance": "CASE WHEN _known THEN _lamp_starts_at_v / _off_state_current_a END",
            "_capacitance": "CASE WHEN _known THEN _off_state_current_a / _omega / _lamp_starts_at_v END",
        },
    ],
    {
        "bypass_resistance_ohm": "_resistance",
        "bypass_resistor_power_w": "_voltage_v * _voltage_v / _resistance",
        "bypass_capacitance_f": "_capacitance",
        "bypass_capacitor_current_a": "CASE WHEN _known AND _omega IS NOT NULL "
        "THEN _off_state_current_a * _voltage_v / _lamp_starts_at_v END",
    },
)
"""Adds the four figures of ``bypass``."""

GHOSTING = StagedQuery(
    {
        "off_state_current_low_a": RANGES["off_state_current_a"],
        "off_state_current_high_a": RANGES["off_state_current_a"],
        "tolerated_current_low_a": RANGES["tolerated_current_a"],
        "tolerated_current_high_a": RANGES["tolerated_current_a"],
    },
    [
        {
            "_ordered": "_off_state_current_low_a <= _off_state_current_high_a "
            "AND _tolerated_current_low_a <= _tolerated_current_high_a"
        }
    ],
    {
        "ghosting": "CASE WHEN _ordered AND _off_state_current_high_a <= _tolerated_current_low_a "
        "THEN 'stays_off' WHEN _ordered AND _off_state_current_low_a > _tolerated_current_high_a "
        "THEN 'ghosts' ELSE 'cannot_tell' END"
    },
)
"""Adds ghosting (stays_off, ghosts, cannot_tell); NULL inputs give cannot_tell."""
