"""Flicker: modulation, the recommended practices of IEEE 1789, and stroboscopic visibility.

IEEE Std 1789-2015 clause 8.1.1 (standard, second hand, quoted word for word) limits the modulation
in percent by frequency. RP1 (low risk): 0.025 f below 90 Hz, 0.08 f to 1250 Hz, none above. RP2
(no observable effect): 0.01 f, 0.0333 f to 3000 Hz, none above. RP3: 5 % below 90 Hz, always. The
standard does not say where exactly 90, 1250 and 3000 Hz belong: here 90 Hz is in the middle
range, 1250 and 3000 Hz still have their limit. Versions with other factors are in circulation.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Literal

from compat.physics.ranges import Range, check_all
from compat.physics.staged import StagedQuery, number

RANGES = {
    "frequency_hz": Range(0.0, 1e6, low_allowed=False),
    "modulation_percent": Range(0.0, 100.0),
    "highest": Range(0.0, 1e9, low_allowed=False),
    "lowest": Range(0.0, 1e9),
}
VISIBLE_UP_TO_HZ = 2000.0
EXPONENT = 3.7

Practice = Literal["rp1", "rp2", "rp3"]
PRACTICES: tuple[Practice, ...] = ("rp1", "rp2", "rp3")
# Factor below 90 Hz, factor from 90 Hz, highest frequency that is limited.
_FACTORS = {"rp1": (0.025, 0.08, 1250.0), "rp2": (0.01, 0.0333, 3000.0)}


def modulation_percent(highest: float, lowest: float) -> float:
    """100 (max - min)/(max + min) of the light over a period, "percent flicker": 0.8, 0.3 give 45.5.

    Any light unit, highest above 0, lowest from 0. Raises ValueError, also when lowest is above
    highest. Source: IEEE 1789-2015 (standard, second hand).
    """
    check_all(RANGES, highest=highest, lowest=lowest)
    if lowest > highest:
        raise ValueError(f"lowest is {lowest!r}, above highest {highest!r}")
    return 100.0 * (highest - lowest) / (highest + lowest)


def modulation_limit_percent(practice: Practice, frequency_hz: float) -> float | None:
    """Largest modulation in percent at a frequency, or None where the practice sets no limit.

    Hertz above 0 up to 1e6. rp1 at 100 Hz 8.0, at 120 Hz 9.6, at 1251 Hz none. The standard says
    "less than" the limit. It counts for the whole light source, dimmed or not. Raises ValueError.
    """
    check_all(RANGES, frequency_hz=frequency_hz)
    if practice == "rp3":
        return 5.0 if frequency_hz < 90.0 else None
    if practice not in _FACTORS:
        raise ValueError(f"practice is {practice!r}; allowed are {', '.join(PRACTICES)}")
    low, middle, last = _FACTORS[practice]
    if frequency_hz < 90.0:
        return low * frequency_hz
    return middle * frequency_hz if frequency_hz <= last else None


def practices_met(frequency_hz: float, modulation_percent: float) -> tuple[Practice, ...]:
    """Which of the three practices a modulation at a frequency meets; percent 0 to 100.

    A limit of 100 % or more is no limit, as no modulation exceeds 100 %. Raises ValueError.
    """
    check_all(RANGES, modulation_percent=modulation_percent)
    met: list[Practice] = []
    for practice in PRACTICES:
        limit = modulation_limit_percent(practice, frequency_hz)
        if limit is None or limit >= 100.0 or modulation_percent < limit:
            met.append(practice)
    return tuple(met)


def visibility_threshold(frequency_hz: float) -> float:
    """Modulation (a share, 1 is 100 %) just seen as stroboscopic effect: 2.865e-5 f^1.543 + 0.225.

    Up to 2000 Hz, for more than 100 lx and movements below 4 m/s. Raises ValueError. Source: IEC TR
    63158 and Perz et al., J. Opt. Soc. Am. A 35 (2018) 309 (standard, second hand).
    """
    Range(0.0, VISIBLE_UP_TO_HZ, low_allowed=False).check("frequency_hz", frequency_hz)
    return 2.865e-5 * math.pow(frequency_hz, 1.543) + 0.225


def stroboscopic_visibility(components: Iterable[tuple[float, float]]) -> float:
    """SVM from Fourier components (hertz, amplitude relative to the mean), no units.

    (sum (C/T)^3.7)^(1/3.7) over the components up to 2000 Hz; those above do not count. A sine of
    100 % at 100 Hz gives 3.847. 1 is seen by half of the observers; EU 2019/2020 allows 0.4 at full
    load (verified). Amplitudes 0 to 2. Raises ValueError. Source: as ``visibility_threshold``.
    """
    total = 0.0
    for frequency, amplitude in components:
        check_all(RANGES, frequency_hz=frequency)
        Range(0.0, 2.0).check("amplitude", amplitude)
        if frequency <= VISIBLE_UP_TO_HZ:
            total += (amplitude / visibility_threshold(frequency)) ** EXPONENT
    return math.pow(total, 1.0 / EXPONENT)


def _limit_text(practice: str) -> str:
    low, middle, last = _FACTORS[practice]
    return (
        f"CASE WHEN _frequency_hz < 90e0 THEN {number(low)} * _frequency_hz "
        f"WHEN _frequency_hz <= {number(last)} THEN {number(middle)} * _frequency_hz "
        "WHEN _frequency_hz IS NOT NULL THEN 100e0 END"
    )


FLICKER = StagedQuery(
    {name: RANGES[name] for name in ("frequency_hz", "modulation_percent")},
    [
        {
            "_rp1": _limit_text("rp1"),
            "_rp2": _limit_text("rp2"),
            "_rp3": "CASE WHEN _frequency_hz < 90e0 THEN 5e0 WHEN _frequency_hz IS NOT NULL THEN 100e0 END",
            "_threshold": f"CASE WHEN _frequency_hz <= {number(VISIBLE_UP_TO_HZ)} "
            "THEN 2.865e-5 * pow(_frequency_hz, 1.543e0) + 0.225e0 END",
        }
    ],
    {
        **{
            f"{one}_limit_percent": f"CASE WHEN _{one} < 100e0 THEN _{one} "
            f"WHEN _{one} IS NOT NULL THEN 100e0 END"
            for one in PRACTICES
        },
        **{
            f"meets_{one}": f"CASE WHEN _{one} >= 100e0 AND _modulation_percent IS NOT NULL THEN true "
            f"ELSE _modulation_percent < _{one} END"
            for one in PRACTICES
        },
        "stroboscopic_visibility": "CASE WHEN _threshold IS NOT NULL "
        "THEN _modulation_percent / 100e0 / _threshold "
        "WHEN _frequency_hz IS NOT NULL AND _modulation_percent IS NOT NULL THEN 0e0 END",
    },
)
"""For a modulation with one sine component: the limits (100 where there is none), meets_rp1 to
meets_rp3, and the stroboscopic visibility of that sine."""
