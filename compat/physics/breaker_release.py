"""Whether a circuit-breaker releases on one short pulse of current.

Anchor: IEC 60898-1, instantaneous release; at k_lo times the rated current (r.m.s.) no release
within 0.1 s, at k_hi times release within 0.1 s; 3/5 for curve B, 5/10 for C, 10/20 for D
(standard, second hand). The standard says nothing of a single pulse of less than a half cycle.

Model (derived, own estimate, no published measurement behind it): a plunger preloaded by F0, pulled
by a force that goes with the square of the current, released after a travel x. One number
describes it, T = sqrt(m x / F0). For a rectangular pulse of width w energy and coasting give
(I/I0)^2 = (1 + sqrt(1 + 8 (T/w)^2)) / 2; for any shape w = I2t / I_peak^2. Against the equation of
motion over four shapes the formula is 0.85 to 1.00 of the true threshold: the safe side for
``holds``. T is taken between 0.5 ms and 5 ms for small breakers; it is the weak link, so both ends
are arguments and the strict mode does without.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from compat.physics.ranges import Range, check_all

RANGES = {
    "peak_low_a": Range(0.0, 1e7),
    "peak_high_a": Range(0.0, 1e7),
    "i2t_low_a2s": Range(0.0, 1e12),
    "i2t_high_a2s": Range(0.0, 1e12),
    "rated_current_a": Range(0.1, 1e4),
    "hold_multiple": Range(1.0, 100.0),
    "trip_multiple": Range(1.0, 100.0),
    "shortest_plunger_time_s": Range(1e-5, 0.02),
    "longest_plunger_time_s": Range(1e-5, 0.02),
    "frequency_hz": Range(16.0, 70.0),
}
SPAN = Range(0.0, 10.0, low_allowed=False)
ANCHOR_SLOPE = 2.13
ANCHOR_MOST = 1.5


@dataclass(frozen=True, slots=True)
class Breaker:
    """Rated current (A), multiples of its r.m.s. value, plunger times (s), frequency (Hz)."""

    rated_current_a: float
    hold_multiple: float
    trip_multiple: float
    shortest_plunger_time_s: float
    longest_plunger_time_s: float
    frequency_hz: float = 50.0


def pulse_factor(span_s: float, plunger_time_s: float) -> float:
    """f(w, T): by what factor a pulse may exceed the static threshold I0.

    ``span_s`` is w = I2t / I_peak^2 in seconds (0.75 of the half-peak width for a half sine, 0.72
    for an exponential), above 0 up to 10 s; ``plunger_time_s`` is T, 1e-5 to 0.02 s. No units.
    For w much shorter than T the limit is an I2t, for longer pulses it falls to 1. Raises
    ValueError. Source: derived, see the head of this file.
    """
    SPAN.check("span_s", span_s)
    RANGES["shortest_plunger_time_s"].check("plunger_time_s", plunger_time_s)
    return math.sqrt((1.0 + math.sqrt(1.0 + 8.0 * (plunger_time_s / span_s) ** 2)) / 2.0)


def sine_anchor(plunger_time_s: float, frequency_hz: float) -> float:
    """rho: crest of the sine that just releases within 0.1 s, divided by I0; an upper bound.

    1 + 2.13 T f, at most 1.5; the equation of motion gives 1.053 at 0.5 ms, 1.21 at 2 ms and 1.38
    at 5 ms and 50 Hz, and at most 1.47 for T f up to 1, whatever the closing instant. Source:
    derived; checked against the equation of motion in the tests. Raises ValueError.
    """
    RANGES["shortest_plunger_time_s"].check("plunger_time_s", plunger_time_s)
    RANGES["frequency_hz"].check("frequency_hz", frequency_hz)
    return min(1.0 + ANCHOR_SLOPE * plunger_time_s * frequency_hz, ANCHOR_MOST)


def hold_limit_a(breaker: Breaker, peak_a: float, i2t_a2s: float, *, strict: bool = False) -> float:
    """The peak (A) that a pulse of this shape may have and surely not release the breaker.

    sqrt(2) k_lo In max(1, f(w, T shortest) / rho); ``strict`` takes f = 1, which is all that the
    standard supports (and that only if the breaker holds for every closing instant). A peak of 0
    has no shape and gets the strict limit. Of a pulse known within intervals the high ends decide:
    although w joins peak and I2t, peak <= c f(I2t/peak^2) can be written
    1 - (c/peak)^2 <= 2 (T c^2 / I2t)^2, which a larger peak or a larger I2t alone can only break.
    The thermal release is not judged: a pulse of less than 10 ms does not move it. Raises ValueError.
    """
    _check(breaker)
    check_all(RANGES, peak_high_a=peak_a, i2t_high_a2s=i2t_a2s)
    limit = math.sqrt(2.0) * breaker.hold_multiple * breaker.rated_current_a
    if strict or peak_a == 0.0 or i2t_a2s == 0.0:
        return limit
    factor = pulse_factor(_span(peak_a, i2t_a2s), breaker.shortest_plunger_time_s)
    return limit * max(1.0, factor / sine_anchor(breaker.shortest_plunger_time_s, breaker.frequency_hz))


def trip_limit_a(breaker: Breaker, peak_a: float, i2t_a2s: float) -> float | None:
    """The peak (A) above which a pulse of this shape surely releases the breaker, or None.

    sqrt(2) k_hi In f(w, T longest), not divided by rho: that margin (1.38 at 5 ms) stands for
    saturation, eddy currents and a single half cycle. For a pulse closed at the crest; of
    intervals the low ends decide. None when peak or I2t is 0. Raises ValueError.
    """
    _check(breaker)
    check_all(RANGES, peak_low_a=peak_a, i2t_low_a2s=i2t_a2s)
    if peak_a == 0.0 or i2t_a2s == 0.0:
        return None
    factor = pulse_factor(_span(peak_a, i2t_a2s), breaker.longest_plunger_time_s)
    return math.sqrt(2.0) * breaker.trip_multiple * breaker.rated_current_a * factor


def _span(peak_a: float, i2t_a2s: float) -> float:
    return min(max(i2t_a2s / peak_a**2, 1e-12), SPAN.high)


def _check(breaker: Breaker) -> None:
    check_all(
        RANGES,
        rated_current_a=breaker.rated_current_a,
        hold_multiple=breaker.hold_multiple,
        trip_multiple=breaker.trip_multiple,
        shortest_plunger_time_s=breaker.shortest_plunger_time_s,
        longest_plunger_time_s=breaker.longest_plunger_time_s,
        frequency_hz=breaker.frequency_hz,
    )
    if breaker.trip_multiple < breaker.hold_multiple:
        raise ValueError(
            f"trip_multiple {breaker.trip_multiple!r} is below hold_multiple "
            f"{breaker.hold_multiple!r}; it must be at least that"
        )
    if breaker.longest_plunger_time_s < breaker.shortest_plunger_time_s:
        raise ValueError(
            f"longest_plunger_time_s {breaker.longest_plunger_time_s!r} is below "
            f"shortest_plunger_time_s {breaker.shortest_plunger_time_s!r}; it must be at least that"
        )
