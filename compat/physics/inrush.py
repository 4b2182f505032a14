"""The first current pulse of capacitor-input drivers switched on at the crest of the supply.

Model: a constant voltage V (the crest) is put on R, L and C in series, C discharged; a bridge
rectifier stops the current at its first zero. Everything about the pulse follows from the damping
ratio zeta = (R/2) sqrt(C/L): with w0 = 1/sqrt(LC), Z0 = sqrt(L/C) and b = sqrt|1 - zeta^2|,

    i(t) = (V/Z0) g(w0 t),  g(s) = exp(-zeta s) sin(b s)/b  (sinh for zeta > 1, s exp(-s) for 1).

Holding the voltage at the crest is an upper bound of the peak for any closing instant of a sine
(derived: the admittance has a response >= 0 up to the peak, then <= 0 within the pulse). In 1,394
simulated cases it was never below the sine in width or I2t either (observed, not proven).
Source of the formulas: step response of a series RLC circuit (textbook), derived here.
Not in the model: resonance of a filter before the bridge, saturation, contact bounce.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from compat.physics.ranges import Range, check_all

RANGES = {
    "crest_v": Range(0.0, 1e6, low_allowed=False),
    "resistance_ohm": Range(0.0, 1e6),
    "inductance_h": Range(0.0, 1e3),
    "capacitance_f": Range(1e-15, 1e3),
    "source_resistance_ohm": Range(0.0, 1e6),
    "source_inductance_h": Range(0.0, 1e3),
    "driver_resistance_ohm": Range(0.0, 1e6),
    "driver_inductance_h": Range(0.0, 1e3),
    "driver_capacitance_f": Range(1e-15, 1.0),
    "driver_count": Range(1.0, 1e6),
}
MOST_DAMPING = 1e8
# Starts of the two half-peak instants in x = zeta/(1 + zeta): rise (1 + zeta) within 2e-4 and
# fall / (1 + zeta) within 5e-4, fitted to 40-digit roots over zeta 0 to 1e7 (derived here).
RISE_START = (
    0.52353353, -0.07603208, -0.12384982, 0.25677425, -0.59577873, 0.56988945, -0.20791982,
)  # fmt: skip
FALL_START = (
    2.61909488, -3.4323104, 7.67127175, -84.07137995, 538.90457345, -1960.27412474, 4291.54897044,
    -5715.97863029, 4527.18105396, -1960.27217247, 357.48936498,
)  # fmt: skip
# Within this distance of zeta^2 from 1 sine and sinh are replaced by their common series.
NEAR_CRITICAL = 0.01


@dataclass(frozen=True, slots=True)
class Loop:
    """The series circuit that the pulse flows through: ohm, henry, farad."""

    resistance_ohm: float
    inductance_h: float
    capacitance_f: float


@dataclass(frozen=True, slots=True)
class DriverInput:
    """What one driver puts in the loop: series resistance and inductance, reservoir capacitor."""

    resistance_ohm: float
    capacitance_f: float
    inductance_h: float = 0.0


@dataclass(frozen=True, slots=True)
class Pulse:
    """The first pulse. ``width_s`` is the time above half the peak (t50); ``i2t_a2s`` runs from
    switching on to the first zero of the current."""

    damping_ratio: float
    peak_a: float
    time_to_peak_s: float
    width_s: float
    i2t_a2s: float


def group_loop(
    source_resistance_ohm: float, source_inductance_h: float, driver: DriverInput, count: int
) -> Loop:
    """The loop of ``count`` equal drivers in parallel behind one source.

    By symmetry they share the current equally: R = R_s + r_d/N, L = L_s + l_d/N, C = N c_d.
    Ohm, henry, farad; count 1 to 1e6. Raises ValueError. Source: derived.
    """
    check_all(
        RANGES,
        source_resistance_ohm=source_resistance_ohm,
        source_inductance_h=source_inductance_h,
        driver_resistance_ohm=driver.resistance_ohm,
        driver_inductance_h=driver.inductance_h,
        driver_capacitance_f=driver.capacitance_f,
        driver_count=count,
    )
    return Loop(
        source_resistance_ohm + driver.resistance_ohm / count,
        source_inductance_h + driver.inductance_h / count,
        count * driver.capacitance_f,
    )


def pulse(crest_v: float, loop: Loop) -> Pulse:
    """Peak, time to peak, half-peak width and I2t of the pulse.

    ``crest_v`` is the crest of the supply in volts, sqrt(2) times its r.m.s. value, up to 1e6 V.
    R and L may each be 0 but not both; above zeta = 1e8 the inductance is taken as 0 (error of
    peak, width and I2t below 1e-14). Raises ValueError for a value out of range. Against a
    simulation with four diodes, peaks are 0.4 to 1.6 % high for widths up to 0.5 ms.
    Source: derived; checked against ODE and circuit simulation in the tests.
    """
    check_all(
        RANGES,
        crest_v=crest_v,
        resistance_ohm=loop.resistance_ohm,
        inductance_h=loop.inductance_h,
        capacitance_f=loop.capacitance_f,
    )
    resistance, capacitance = loop.resistance_ohm, loop.capacitance_f
    inductance = max(loop.inductance_h, resistance**2 * capacitance / (4.0 * MOST_DAMPING**2))
    if inductance == 0.0:
        raise ValueError(
            "resistance_ohm and inductance_h are both 0 or nearly so; one must limit the current"
        )
    damping = resistance / 2.0 * math.sqrt(capacitance / inductance)
    impedance = math.sqrt(inductance / capacitance)
    period = math.sqrt(inductance * capacitance)
    return Pulse(
        damping,
        crest_v / impedance * relative_peak(damping),
        _time_to_peak(damping, period, loop, inductance),
        relative_width(damping) * period,
        capacitance * crest_v**2 / impedance * _relative_i2t(damping),
    )


def relative_peak(damping: float) -> float:
    """h(zeta) = peak / (V/Z0), from 1 at zeta = 0 to 1/(2 zeta) for large zeta; no units."""
    return math.exp(-damping * relative_time_to_peak(damping))


def relative_time_to_peak(damping: float) -> float:
    """Time to peak times w0: acos(zeta)/b, 1, or acosh(zeta)/b; no units."""
    root = _root(damping)
    if root == 0.0:
        return 1.0
    return (math.atan2(root, damping) if damping < 1.0 else math.asinh(root)) / root


def relative_width(damping: float) -> float:
    """W(zeta) = t50 w0, from 2 pi/3 at 0 over 2.446 at 1 to 2 ln(2) zeta; within 1e-13.

    zeta from 0 to 1e8. It has no closed form: both half-peak instants are found from a polynomial
    start by fourth-order steps (Householder), which need only g and g' because of
    g'' = -2 zeta g' - g. One step is within 1e-13, the second leaves rounding only.
    """
    peak = relative_peak(damping)
    share = damping / (1.0 + damping)
    rise = polynomial(RISE_START, share) / (1.0 + damping)
    fall = polynomial(FALL_START, share) * (1.0 + damping)
    for _ in range(2):
        rise = _closer(damping, peak, rise)
        fall = _closer(damping, peak, fall)
    return fall - rise


def polynomial(coefficients: tuple[float, ...], variable: float) -> float:
    """A polynomial, constant term first, by nested multiplication."""
    total = 0.0
    for coefficient in reversed(coefficients):
        total = total * variable + coefficient
    return total


def _root(damping: float) -> float:
    return math.sqrt(abs((1.0 - damping) * (1.0 + damping)))


def _closer(damping: float, peak: float, instant: float) -> float:
    """One step towards g = peak/2; g and its derivatives are divided by exp(-slow * instant)."""
    square = (1.0 - damping) * (1.0 + damping)
    root, slow = math.sqrt(abs(square)), damping
    if square > NEAR_CRITICAL:
        value = math.sin(root * instant) / root
        slope = math.cos(root * instant) - damping * value
        bend = -2.0 * damping * slope - value
        twist = -2.0 * damping * bend - slope
    elif square < -NEAR_CRITICAL:
        fast = damping + root
        slow = 1.0 / fast
        faded = math.exp(-2.0 * root * instant)
        value = (1.0 - faded) / (2.0 * root)
        slope = (faded * fast - slow) / (2.0 * root)
        bend = (slow**2 - faded * fast**2) / (2.0 * root)
        twist = (faded * fast**3 - slow**3) / (2.0 * root)
    else:
        value = instant * _series(square * instant**2, (6, 20, 42, 72, 110, 156))
        slope = _series(square * instant**2, (2, 12, 30, 56, 90, 132)) - damping * value
        bend = -2.0 * damping * slope - value
        twist = -2.0 * damping * bend - slope
    excess = value - peak / 2.0 * math.exp(slow * instant)
    first = excess / slope
    second = first * bend / slope
    third = first * first * twist / slope
    return instant - first * (1.0 - second / 2.0) / (1.0 - second + third / 6.0)


def _series(square: float, divisors: tuple[int, ...]) -> float:
    """sin(u)/u or cos(u) by its series in u^2, which may be negative (sinh, cosh)."""
    total = 1.0
    for divisor in reversed(divisors):
        total = 1.0 - square / divisor * total
    return total


def _time_to_peak(damping: float, period: float, loop: Loop, inductance: float) -> float:
    if loop.inductance_h == inductance:
        return relative_time_to_peak(damping) * period
    if loop.inductance_h == 0.0:
        return 0.0
    decay = loop.inductance_h / loop.resistance_ohm
    return decay * math.log(loop.resistance_ohm / decay * loop.capacitance_f)


def _relative_i2t(damping: float) -> float:
    """I2t Z0 / (C V^2): the energy balance, (1 - exp(-2 pi zeta/b)) / (4 zeta) below zeta = 1."""
    if damping >= 1.0:
        return 1.0 / (4.0 * damping)
    root = _root(damping)
    decay = 2.0 * math.pi * damping / root
    lost = -math.expm1(-decay)
    return lost / (4.0 * damping) if damping > 1e-12 else math.pi / 2.0
