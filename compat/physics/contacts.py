"""Whether a contact or a semiconductor switch stands an inrush pulse.

A switch is described by a peak, the pulse width up to which the peak is stated, and an I2t. Seen
in the trade for relay contacts (common practice, from memory, no standard found): 80 A up to 20 ms
for silver tin oxide, 165 A up to 20 ms and 800 A up to 200 us with a tungsten pre-contact; a
contact of silver nickel with a resistive rating only says nothing of inrush. A contactor and a
solid-state output have the figures of their datasheets. Contact bounce and welding are not
predicted: repeated switching can weld a contact so that "off" no longer switches off (verified,
technical note of a lighting research centre, 2011).
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from compat.physics.inrush_circuit import PulseRange
from compat.physics.ranges import Range, check_all
from compat.physics.staged import StagedQuery, number

RANGES = {
    "contact_peak_a": Range(0.1, 1e6),
    "contact_width_s": Range(1e-6, 1.0),
    "contact_i2t_a2s": Range(1e-6, 1e9),
    "peak_low_a": Range(0.0, 1e7),
    "peak_high_a": Range(0.0, 1e7),
    "width_low_s": Range(0.0, 100.0),
    "width_high_s": Range(0.0, 100.0),
    "i2t_low_a2s": Range(0.0, 1e12),
    "i2t_high_a2s": Range(0.0, 1e12),
}
ZERO_CROSS = {
    "voltage_v": Range(1.0, 1000.0),
    "frequency_hz": Range(16.0, 70.0),
    "capacitance_f": Range(0.0, 1.0),
    "late_s": Range(0.0, 0.004),
}

Verdict = Literal["withstands", "exceeds", "cannot_tell"]


@dataclass(frozen=True, slots=True)
class ContactClass:
    """A peak (A) that the switch stands up to a pulse width (s), and its I2t (A2s)."""

    peak_a: float
    width_s: float
    i2t_a2s: float


def rectangular_i2t_a2s(peak_a: float, width_s: float) -> float:
    """I2t in A2s of a stated peak held for its whole stated width: 165 A, 20 ms give 544.5.

    Use it for a contact whose datasheet gives no I2t. Raises ValueError. Source: derived.
    """
    check_all(RANGES, contact_peak_a=peak_a, contact_width_s=width_s)
    return peak_a**2 * width_s


def contact_verdict(pulse: PulseRange, classes: Iterable[ContactClass]) -> Verdict:
    """Whether some class of the switch covers the pulse: peak, width and I2t all within it.

    ``withstands`` when one class covers the high ends; ``exceeds`` when no class covers even the
    low ends; else, and without any class, ``cannot_tell``. A class counts only for pulses no wider
    than its own width. Raises ValueError. Source: derived rule; IEC 63129 Annex A treats the
    matching of inrush and switch (heading only seen).
    """
    _check_pulse(pulse)
    some = False
    possible = False
    for one in classes:
        check_all(
            RANGES,
            contact_peak_a=one.peak_a,
            contact_width_s=one.width_s,
            contact_i2t_a2s=one.i2t_a2s,
        )
        some = True
        if _covers(one, pulse.peak_a.high, pulse.width_s.high, pulse.i2t_a2s.high):
            return "withstands"
        possible = possible or _covers(one, pulse.peak_a.low, pulse.width_s.low, pulse.i2t_a2s.low)
    return "exceeds" if some and not possible else "cannot_tell"


def zero_cross_peak_a(voltage_v: float, frequency_hz: float, capacitance_f: float) -> float:
    """Peak in amperes through a capacitor switched on exactly at the zero crossing: w C sqrt(2) V.

    R.m.s. volts, hertz, farad (all drivers together). An estimate: it leaves out ringing with the
    series inductance and further strikes by bounce; for a contact that closes late see
    ``late_step_v``. Raises ValueError. Source: derived.
    """
    check_all(ZERO_CROSS, voltage_v=voltage_v, frequency_hz=frequency_hz, capacitance_f=capacitance_f)
    return 2.0 * math.pi * frequency_hz * capacitance_f * math.sqrt(2.0) * voltage_v


def late_step_v(voltage_v: float, frequency_hz: float, late_s: float) -> float:
    """The voltage sqrt(2) V sin(w t) that stands when a contact closes t after the crossing.

    Put it in place of the crest into ``inrush.pulse``; 0.5 ms at 230 V 50 Hz leave 50.9 V of 325 V.
    0 to 4 ms (a quarter period at 60 Hz is 4.2 ms). Raises ValueError. Source: derived.
    """
    check_all(ZERO_CROSS, voltage_v=voltage_v, frequency_hz=frequency_hz, late_s=late_s)
    return math.sqrt(2.0) * voltage_v * math.sin(2.0 * math.pi * frequency_hz * late_s)


def _covers(one: ContactClass, peak_a: float, width_s: float, i2t_a2s: float) -> bool:
    return peak_a <= one.peak_a and width_s <= one.width_s and i2t_a2s <= one.i2t_a2s


def _check_pulse(pulse: PulseRange) -> None:
    RANGES["peak_high_a"].check_interval("peak_a", pulse.peak_a)
    RANGES["width_high_s"].check_interval("width_s", pulse.width_s)
    RANGES["i2t_high_a2s"].check_interval("i2t_a2s", pulse.i2t_a2s)


def _covered(end: str) -> str:
    return (
        f"(_peak_{end}_a <= _contact_peak_a AND _width_{end}_s <= _contact_width_s "
        f"AND _i2t_{end}_a2s <= _contact_i2t_a2s)"
    )


CONTACT = StagedQuery(
    RANGES,
    [
        {
            "_ordered": "_peak_low_a <= _peak_high_a AND _width_low_s <= _width_high_s "
            "AND _i2t_low_a2s <= _i2t_high_a2s",
            "_sure": _covered("high"),
            "_possible": _covered("low"),
        }
    ],
    {
        "verdict": "CASE WHEN _ordered AND _sure THEN 'withstands' "
        "WHEN _ordered AND NOT _possible THEN 'exceeds' ELSE 'cannot_tell' END"
    },
)
"""The verdict for one class a row; several classes: withstands if any row says so."""

ZERO_CROSS_PEAK = StagedQuery(
    ZERO_CROSS,
    [
        {
            "_crest": f"{number(math.sqrt(2.0))} * _voltage_v",
            "_omega": f"{number(2.0 * math.pi)} * _frequency_hz",
        }
    ],
    {
        "zero_cross_peak_a": "_omega * _capacitance_f * _crest",
        "late_step_v": "_crest * sin(_omega * _late_s)",
    },
)
"""Adds zero_cross_peak_a (at the crossing) and late_step_v."""
