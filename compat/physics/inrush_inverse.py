"""One driver's input from the peak and width stated for it and the source they were taken with.

Multiplying and dividing the two formulas of the pulse gives V t50 / (L I) = W(zeta)/h(zeta). The
right side rises from 2 pi/3 at zeta = 0, so there is one zeta or none; then C = (t50/W)^2 / L and
R = 2 zeta L W / t50, and the driver has R less the resistance of the source. Source: derived.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from compat.physics.inrush import (
    MOST_DAMPING,
    RANGES,
    DriverInput,
    Loop,
    relative_peak,
    relative_width,
)
from compat.physics.ranges import Range, check_all
from compat.physics.roots import bracketed_root

STATED = {
    "stated_peak_a": Range(1e-6, 1e6),
    "stated_width_s": Range(1e-9, 1.0),
    "test_crest_v": RANGES["crest_v"],
    "test_resistance_ohm": RANGES["source_resistance_ohm"],
    "test_inductance_h": RANGES["source_inductance_h"],
}
LEAST_RATIO = 2.0 * math.pi / 3.0
MOST_RATIO = 4.0 * math.log(2.0) * MOST_DAMPING**2
# A peak nearer than this to the short-circuit current of its source leaves the capacitor open.
MOST_SHARE = 0.999

Outcome = Literal["fits", "clamped", "infeasible"]


@dataclass(frozen=True, slots=True)
class Fit:
    """``driver`` is None when the outcome is ``infeasible``. ``damping_ratio`` is of the test."""

    outcome: Outcome
    driver: DriverInput | None
    damping_ratio: float | None


def fit_driver(
    stated_peak_a: float,
    stated_width_s: float,
    test_crest_v: float,
    test_resistance_ohm: float,
    test_inductance_h: float,
) -> Fit:
    """The series resistance (ohm) and capacitor (farad) that give the stated pulse.

    Peak in amperes, width above half the peak in seconds (1e-9 to 1), test source in volts of
    crest, ohm and henry. Raises ValueError for a value out of range.

    ``fits``: the pair is met exactly. ``clamped``: the loop would need less resistance than the
    source has; the driver gets 0 ohm and the capacitor that meets the peak (its width is then
    longer than stated, the safe side). ``infeasible``: no R >= 0 and C give this pulse, because
    V t50/(L I) is below 2 pi/3 (the stated inductance is too large for so short a pulse), or
    the driver would need less than 0 ohm and the peak is above 0.999 of the source's V/R.

    The inductance of the driver itself is taken as 0. A hidden one makes the fitted capacitor too
    large (simulated: 42 % at 100 uH), the safe side. Below zeta = 0.3 the resistance is poorly
    determined by the pair, but so little of it matters there that predicted peaks stay within 8 %
    for 10 % of error in the pair.
    """
    check_all(
        STATED,
        stated_peak_a=stated_peak_a,
        stated_width_s=stated_width_s,
        test_crest_v=test_crest_v,
        test_resistance_ohm=test_resistance_ohm,
        test_inductance_h=test_inductance_h,
    )
    share = stated_peak_a * test_resistance_ohm / test_crest_v
    loop = loop_of_pulse(stated_peak_a, stated_width_s, test_crest_v, test_inductance_h)
    if loop is None:
        return Fit("infeasible", None, None)
    rest = loop.resistance_ohm - test_resistance_ohm
    if rest >= 0.0:
        damping = loop.resistance_ohm / 2.0 * math.sqrt(loop.capacitance_f / loop.inductance_h)
        return Fit("fits", DriverInput(rest, loop.capacitance_f), damping)
    if share > MOST_SHARE:
        return Fit("infeasible", None, None)
    damping = damping_of_share(share)
    capacitance = loop.inductance_h * (2.0 * damping / test_resistance_ohm) ** 2
    return Fit("clamped", DriverInput(0.0, capacitance), damping)


def loop_of_pulse(peak_a: float, width_s: float, crest_v: float, inductance_h: float) -> Loop | None:
    """The whole loop (ohm, henry, farad) with this inductance and pulse; None when there is none.

    Its resistance falls as the inductance rises. Amperes, seconds, volts of crest, henry; an
    inductance of 0 is replaced by one too small to matter. Raises ValueError. Source: derived.
    """
    check_all(
        STATED,
        stated_peak_a=peak_a,
        stated_width_s=width_s,
        test_crest_v=crest_v,
        test_inductance_h=inductance_h,
    )
    volt_seconds = crest_v * width_s / peak_a
    inductance = max(inductance_h, volt_seconds / MOST_RATIO)
    if volt_seconds / inductance < LEAST_RATIO:
        return None
    damping = damping_of_ratio(volt_seconds / inductance)
    width = relative_width(damping)
    return Loop(2.0 * damping * inductance * width / width_s, inductance, (width_s / width) ** 2 / inductance)


def bounding_driver(stated_peak_a: float, stated_width_s: float, test_crest_v: float) -> DriverInput:
    """A driver whose pulse is never below the true one, whatever the test source was.

    r_d = 0 and C = I t50 / (V ln 2): from the formulas C = I t50 / (V h W), and h W falls from
    2 pi/3 to ln 2 as zeta rises, so no test source gives a larger capacitor. It overstates the
    peak, 2 to 10 times for one driver and by a tenth to two thirds for fifty. Amperes, seconds,
    volts of crest; ValueError out of range. Source: derived.
    """
    check_all(
        STATED,
        stated_peak_a=stated_peak_a,
        stated_width_s=stated_width_s,
        test_crest_v=test_crest_v,
    )
    return DriverInput(0.0, stated_peak_a * stated_width_s / (test_crest_v * math.log(2.0)))


def damping_of_ratio(ratio: float) -> float:
    """zeta with W(zeta)/h(zeta) = ``ratio``, from 2 pi/3 (zeta 0) to 4 ln(2) 1e16 (zeta 1e8).

    Raises ValueError outside. Solved between 0.5 and 1.2 times y = sqrt(ratio) - sqrt(2 pi/3),
    which always enclose it (zeta/y runs from 0.88 at 0 over 0.89 to 0.60).
    """
    Range(LEAST_RATIO, MOST_RATIO * (1.0 + 1e-12)).check("ratio", ratio)
    distance = math.sqrt(ratio) - math.sqrt(LEAST_RATIO)
    if distance < 1e-15:
        return 0.0
    return bracketed_root(
        lambda damping: (
            math.sqrt(relative_width(damping) / relative_peak(damping)) - math.sqrt(LEAST_RATIO) - distance
        ),
        0.5 * distance,
        1.2 * distance,
    )


def damping_of_share(share: float) -> float:
    """zeta with peak = ``share`` of V/R, that is 2 zeta h(zeta) = share; share above 0, below 1.

    Raises ValueError outside. 2 zeta h rises from 0 to 1.
    """
    Range(0.0, MOST_SHARE, low_allowed=False).check("share", share)
    return bracketed_root(lambda damping: 2.0 * damping * relative_peak(damping) - share, share / 2.0, 100.0)
