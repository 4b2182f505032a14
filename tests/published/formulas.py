"""Formulas of the sources that the program does not compute itself: they make the inputs of trials."""

from __future__ import annotations

import math
from collections.abc import Iterable

from compat.physics.phase_cut import rms_share


def gauge_diameter_mm(gauge: int) -> float:
    """An American wire gauge, 0 for 1/0, -3 for 4/0: ASTM B258, 0.127 mm 92^((36 - n)/39)."""
    return 0.127 * math.pow(92.0, (36.0 - gauge) / 39.0)


def gauge_cross_section_mm2(gauge: int) -> float:
    return math.pi / 4.0 * gauge_diameter_mm(gauge) ** 2


def copper_ohm_per_km(cross_section_mm2: float) -> float:
    """Solid copper of a true cross-section at 20 degrees: IACS, 0.017241 ohm mm2/m."""
    return 17.241 / cross_section_mm2


def rms_voltage_v(voltage_v: float, firing_angle_degree: float) -> float:
    """R.m.s. of the cut sine: a.c. voltage controller of power-electronics textbooks."""
    return voltage_v * rms_share(firing_angle_degree)


def step_voltage_v(voltage_v: float, firing_angle_degree: float) -> float:
    """The jump at switching on in forward phase."""
    return math.sqrt(2.0) * voltage_v * math.sin(math.radians(firing_angle_degree))


def modulation_percent(highest: float, lowest: float) -> float:
    """IEEE 1789-2015: 100 (max - min)/(max + min) of the light over a period."""
    return 100.0 * (highest - lowest) / (highest + lowest)


def visibility_threshold(frequency_hz: float) -> float:
    """IEC TR 63158: modulation (1 is 100 %) of a sine just seen as stroboscopic effect, to 2000 Hz."""
    return 2.865e-5 * math.pow(frequency_hz, 1.543) + 0.225


def stroboscopic_visibility(components: Iterable[tuple[float, float]]) -> float:
    """IEC TR 63158: SVM of Fourier components (hertz, amplitude by the mean); above 2000 Hz none counts."""
    shares = (
        amplitude / visibility_threshold(frequency)
        for frequency, amplitude in components
        if frequency <= 2000.0
    )
    return math.pow(math.fsum(share**3.7 for share in shares), 1.0 / 3.7)
