"""Flicker measures of a measured light waveform: modulation and stroboscopic visibility."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

HIGHEST_HZ = 2000
LEAST_SAMPLES = 2 * HIGHEST_HZ
MOST_SAMPLES = 200_000
EXPONENT = 3.7
# A component that is so small a share of the mean is rounding.
NOISE = 1e-9


@dataclass(frozen=True, slots=True)
class LightFlicker:
    """``modulation_percent`` is (most - least) / (most + least); ``svm`` is 1 where half of people see it."""

    modulation_percent: float
    svm: float


def visible_modulation(frequency_hz: float) -> float:
    """The relative amplitude of a sine that is just seen as a stroboscopic effect, by its frequency.

    100 Hz: 0.26. Source: Perz et al. 2018, 2.865e-5 f^1.543 + 0.225, second hand.
    """
    return 2.865e-5 * math.pow(frequency_hz, 1.543) + 0.225


def svm(components: Sequence[tuple[float, float]]) -> float:
    """The stroboscopic visibility measure of components (frequency in Hz, amplitude over the mean).

    Components above 2 kHz do not count. Source: IEC TR 63158:2018, exponent 3.7, second hand.
    """
    counted = (
        (amplitude / visible_modulation(hertz)) ** EXPONENT
        for hertz, amplitude in components
        if 0 < hertz <= HIGHEST_HZ
    )
    return float(math.fsum(counted) ** (1.0 / EXPONENT))


def light_flicker(light: Sequence[float]) -> LightFlicker:
    """The measures of one second of light, sampled evenly: 4,000 to 200,000 samples, not below 0, not dark.

    The components are those of whole hertz. Raises ValueError.
    """
    if not LEAST_SAMPLES <= len(light) <= MOST_SAMPLES:
        raise ValueError(f"{len(light)} samples in one second; allowed are {LEAST_SAMPLES} to {MOST_SAMPLES}")
    mean = math.fsum(light) / len(light)
    if not mean > 0 or min(light) < 0:
        raise ValueError("the light has to be 0 or more, and not dark all the time")
    found = _components([value / mean for value in light])
    low, high = min(light), max(light)
    return LightFlicker(100.0 * (high - low) / (high + low), svm(found))


def _components(light: list[float]) -> list[tuple[float, float]]:
    """The amplitude at each whole frequency to 2 kHz, over the mean of 1."""
    import polars as pl

    turns = pl.int_range(pl.len()) * (2.0 * math.pi / len(light))
    frame = pl.LazyFrame({"light": light}).with_columns(turn=turns)
    sums = frame.select(
        sums
        for hertz in range(1, HIGHEST_HZ + 1)
        for sums in (
            (pl.col("light") * (pl.col("turn") * hertz).cos()).sum().alias(f"c{hertz}"),
            (pl.col("light") * (pl.col("turn") * hertz).sin()).sum().alias(f"s{hertz}"),
        )
    ).collect()
    row = sums.row(0, named=True)
    half = len(light) / 2.0
    amplitudes = (
        (float(hertz), math.hypot(row[f"c{hertz}"], row[f"s{hertz}"]) / half)
        for hertz in range(1, HIGHEST_HZ + 1)
    )
    return [(hertz, amplitude) for hertz, amplitude in amplitudes if amplitude > NOISE]
