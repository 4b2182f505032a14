"""Formulas that a row may name for a cell: ``{ formula = "drop_percent", of = [9, 40, 10, 230] }``.

Most are the program's own, so that its figure meets the printed one in a rule. Those of a source that the
program does not compute itself are written here.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from compat.model.values import Interval
from compat.physics.cable import drop_at_end_v, resistance_at
from compat.physics.flicker import modulation_limit_percent
from compat.physics.inrush_circuit import Group, SourceRange, StatedPulse, candidates_of, circuit_pulse
from compat.physics.leakage import cable_coupled_current_a, capacitive_current_a
from compat.physics.light_waveform import svm, visible_modulation
from compat.physics.phase_cut import Edge, rms_share
from compat.physics.phase_cut_current import InputType
from compat.physics.phase_cut_current import peak_ratio as peak_ratio_between
from compat.physics.phase_cut_current import rms_ratio as rms_ratio_between
from compat.physics.source_impedance import source_of_fault_current


def apparent_power_va(active_power_w: float, power_factor: float) -> float:
    """S = P / power factor."""
    return active_power_w / power_factor


def distortion_of(harmonics: Mapping[int, float]) -> float:
    """Total harmonic distortion from shares of the fundamental: sqrt of the sum of squares."""
    return math.sqrt(sum(share**2 for share in harmonics.values()))


def power_factor_of(displacement_factor: float, distortion: float) -> float:
    """cos phi1 / sqrt(1 + THD^2) on a sinusoidal voltage."""
    return displacement_factor / math.sqrt(1.0 + distortion**2)


def drop_percent(ohm_per_km: float, metres: float, amperes: float, volts: float) -> float:
    """All of the load at the end of a cable."""
    return 100.0 * drop_at_end_v(ohm_per_km, metres, amperes) / volts


def warm_drop_percent(ohm_20: float, celsius: float, metres: float, amperes: float, volts: float) -> float:
    """The same with a conductor of another temperature than 20 degrees, by the factors of IEC 60228."""
    return drop_percent(resistance_at(ohm_20, celsius), metres, amperes, volts)


def string_drop_percent(ohm_per_km: float, pitch_m: float, each_a: float, count: int, volts: float) -> float:
    """Equal loads at equal pitch: each piece carries the current of the loads beyond it."""
    pieces = (drop_at_end_v(ohm_per_km, pitch_m, each_a * beyond) for beyond in range(1, count + 1))
    return 100.0 * math.fsum(pieces) / volts


def gauge_diameter_mm(gauge: int) -> float:
    """An American wire gauge, 0 for 1/0, -3 for 4/0: ASTM B258, 0.127 mm 92^((36 - n)/39)."""
    return 0.127 * math.pow(92.0, (36.0 - gauge) / 39.0)


def gauge_cross_section_mm2(gauge: int) -> float:
    return math.pi / 4.0 * gauge_diameter_mm(gauge) ** 2


def gauge_drop_percent(gauge: int, metres: float, amperes: float, volts: float) -> float:
    """A gauge of solid copper at 20 degrees: IACS, 0.017241 ohm mm2/m."""
    return drop_percent(17.241 / gauge_cross_section_mm2(gauge), metres, amperes, volts)


def cut_voltage_v(volts: float, angle_degree: float) -> float:
    """R.m.s. of the cut sine."""
    return volts * rms_share(angle_degree)


def cut_power_w(watts: float, angle_degree: float) -> float:
    """A resistive load on the cut sine."""
    return watts * rms_share(angle_degree) ** 2


def cut_apparent_power_va(watts: float, angle_degree: float) -> float:
    """The power factor of a resistor behind a cut is the r.m.s. share of the voltage."""
    return apparent_power_va(watts, rms_share(angle_degree))


def step_current_a(volts: float, angle_degree: float, ohm: float) -> float:
    """The jump at switching on in forward phase through a resistance: sqrt(2) U sin(a) / R."""
    return math.sqrt(2.0) * volts * math.sin(math.radians(angle_degree)) / ohm


def peak_ratio(input_type: InputType, edge: Edge, angle_degree: float) -> list[float]:
    """Repetitive peak to that on the whole supply, the ends."""
    found = peak_ratio_between(input_type, edge, Interval(angle_degree, angle_degree))
    return [found.low, found.high]


def rms_ratio(input_type: InputType, edge: Edge, angle_degree: float) -> list[float]:
    found = rms_ratio_between(input_type, edge, Interval(angle_degree, angle_degree))
    return [found.low, found.high]


def harmonic_power_factor(displacement: float, third: float, fifth: float) -> float:
    return power_factor_of(displacement, distortion_of({3: third, 5: fifth}))


def modulation_percent(highest: float, lowest: float) -> float:
    """IEEE 1789-2015: 100 (max - min)/(max + min) of the light over a period."""
    return 100.0 * (highest - lowest) / (highest + lowest)


def no_effect_limit_percent(hertz: float) -> float:
    """The second practice of IEEE 1789; a limit of 100 % is none, as no light is modulated more."""
    found = modulation_limit_percent("rp2", hertz)
    return 100.0 if found is None else min(found, 100.0)


def svm_of_sine(hertz: float, percent: float) -> float:
    return svm([(hertz, percent / 100.0)])


def svm_of_rectified_sine(hertz: float) -> float:
    """Both half waves: components of 2/(4 n^2 - 1) of the mean, up to 2 kHz."""
    return svm([(order * hertz, 2.0 / (4.0 * order**2 - 1.0)) for order in range(1, 21)])


def svm_at_thresholds(*hertz: float) -> float:
    """Sines each just at its threshold."""
    return svm([(one, visible_modulation(one)) for one in hertz])


def capacitor_ma(volts: float, hertz: float, nanofarad: float) -> float:
    return 1000.0 * capacitive_current_a(volts, hertz, nanofarad * 1e-9)


def coupled_ma(
    volts: float, hertz: float, metres: float, low_pf_per_m: float, high_pf_per_m: float
) -> list[float]:
    """Through the capacitance between the cores of a cable, the ends."""
    ends = (low_pf_per_m, high_pf_per_m)
    return [1000.0 * cable_coupled_current_a(volts, hertz, metres, end * 1e-12) for end in ends]


def peak_on_supply_a(tested_a: float, capacitor_v: float, crest_v: float) -> list[float]:
    """A product tested by IEC 63129 with a charged capacitor, on a supply of another crest; the ends."""
    source = SourceRange(Interval(0.5, 0.5), Interval(100e-6, 100e-6))
    stated = StatedPulse(Interval(tested_a, tested_a), Interval(200e-6, 200e-6), capacitor_v, source)
    peak = circuit_pulse(Interval(crest_v, crest_v), source, [Group(candidates_of(stated), 1)]).peak_a
    return [peak.low, peak.high]


def fault_source_ohm(volts: float, fault_a: float, reactance_ratio: float, hertz: float) -> float:
    return _fault_source(volts, fault_a, reactance_ratio, hertz).resistance_ohm.high


def fault_source_uh(volts: float, fault_a: float, reactance_ratio: float, hertz: float) -> float:
    return 1e6 * _fault_source(volts, fault_a, reactance_ratio, hertz).inductance_h.high


def _fault_source(volts: float, fault_a: float, reactance_ratio: float, hertz: float) -> SourceRange:
    ratio = Interval(reactance_ratio, reactance_ratio)
    return source_of_fault_current(volts, Interval(fault_a, fault_a), ratio, hertz)
