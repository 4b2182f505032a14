"""The greatest on-mode power that European law allows a light source of the mains."""

from __future__ import annotations

import math

from compat.model.values import Interval

# Regulation (EU) 2019/2020, Annex II, Tables 1 and 2, read; LED, connected to the mains.
EFFICACY_LM_PER_W = 120.0
LOSS_W = Interval(1.5, 2.0)  # the high end where the lamp is connected to a network
CORRECTION = Interval(1.08, 1.23)  # not directional, directional
MOST_INDEX = 100.0


def index_factor(colour_rendering_index: float) -> float:
    """0.65 up to an index of 25, else (index + 80) / 160 rounded to hundredths. An index of 80: 1."""
    if colour_rendering_index <= 25.0:
        return 0.65
    return math.floor((colour_rendering_index + 80.0) / 1.6 + 0.5) / 100.0


def on_mode_power_w(
    flux_lm: float, index: float, *, directional: bool = False, connected: bool = False
) -> float:
    """C (L + flux / (F 120 lm/W)) R. 806 lm at an index of 80, neither directional nor connected: 8.87 W."""
    correction = CORRECTION.high if directional else CORRECTION.low
    loss = LOSS_W.high if connected else LOSS_W.low
    share = 0.85 if directional else 1.0
    return correction * (loss + flux_lm / (share * EFFICACY_LM_PER_W)) * index_factor(index)


def greatest_on_mode_power_w(flux_lm: Interval, colour_rendering_index: Interval | None) -> Interval:
    """From the narrowest to the most generous reading: directional, connected, and the index where open."""
    index = colour_rendering_index or Interval(80.0, MOST_INDEX)
    return Interval(
        on_mode_power_w(flux_lm.low, index.low),
        on_mode_power_w(flux_lm.high, index.high, directional=True, connected=True),
    )
