"""Independent NumPy forms of the formulas, written without looking at the ones under test."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


def shape(damping: Array, instant: Array) -> Array:
    """g(s) of the normalised current, by sinc below critical damping and expm1 above."""
    square = 1.0 - damping**2
    near = np.abs(square) < 1e-7
    root = np.sqrt(np.abs(np.where(near, 1.0, square)))
    with np.errstate(over="ignore", invalid="ignore"):
        below = np.exp(-damping * instant) * np.sin(root * instant) / root
        slow = 1.0 / (damping + root)
        above = np.exp(-slow * instant) * -np.expm1(-2.0 * root * instant) / (2.0 * root)
    around = instant * np.exp(-damping * instant) * (1.0 - square * instant**2 / 6.0)
    return np.where(near, around, np.where(square > 0, below, above))


def time_to_peak(damping: Array) -> Array:
    square = 1.0 - damping**2
    near = np.abs(square) < 1e-7
    root = np.sqrt(np.abs(np.where(near, 1.0, square)))
    below = np.arctan2(root, damping) / root
    above = np.log1p((damping - 1.0) + root) / root
    return np.where(near, 1.0 + (1.0 - damping) / 3.0, np.where(square > 0, below, above))


def width(damping: Array) -> Array:
    """Half-peak width by bisection of both edges, with nothing of the fast form in it."""
    top = time_to_peak(damping)
    half = 0.5 * shape(damping, top)
    low, high = np.zeros_like(damping), top.copy()
    for _ in range(70):
        middle = 0.5 * (low + high)
        under = shape(damping, middle) < half
        low, high = np.where(under, middle, low), np.where(under, high, middle)
    rise = 0.5 * (low + high)
    low, high = top.copy(), np.maximum(3.2, 4.0 * (1.0 + damping))
    if np.any(damping < 1.0):
        first_zero = np.pi / np.sqrt(np.maximum(1.0 - damping**2, 1e-300))
        high = np.where(damping < 1.0, np.minimum(high, first_zero), high)
    for _ in range(70):
        middle = 0.5 * (low + high)
        over = shape(damping, middle) > half
        low, high = np.where(over, middle, low), np.where(over, high, middle)
    return np.asarray(0.5 * (low + high) - rise)


def pulse(crest: Array, resistance: Array, inductance: Array, capacitance: Array) -> dict[str, Array]:
    damping = 0.5 * resistance * np.sqrt(capacitance / inductance)
    period = np.sqrt(inductance * capacitance)
    top = time_to_peak(damping)
    root = np.sqrt(np.maximum(1.0 - damping**2, 1e-300))
    with np.errstate(over="ignore"):
        lost = np.where(damping < 1.0, -np.expm1(-2.0 * np.pi * damping / root), 1.0)
    with np.errstate(divide="ignore", invalid="ignore"):
        i2t = np.where(
            resistance > 0.0,
            capacitance * crest**2 / (2.0 * resistance) * lost,
            np.pi / 2.0 * capacitance * crest**2 * np.sqrt(capacitance / inductance),
        )
    return {
        "damping_ratio": damping,
        "peak_a": crest * np.sqrt(capacitance / inductance) * np.exp(-damping * top),
        "time_to_peak_s": top * period,
        "width_s": width(damping) * period,
        "i2t_a2s": i2t,
    }
