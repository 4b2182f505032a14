"""Levels of digital control and the light they stand for: DALI curves and fades, DMX steps, perception.

Light is in % of full output. Formulas of IEC 62386-102 are read second hand, in public texts and in
public code that agree with each other.
"""

from __future__ import annotations

import math
from typing import Literal

from compat.physics.ranges import Range, check_all

Curve = Literal["logarithmic", "linear", "square_law"]
CURVES: tuple[Curve, ...] = ("logarithmic", "linear", "square_law")
RANGES = {
    "level": Range(1.0, 254.0),
    "light_percent": Range(0.0, 100.0),
    "code": Range(1.0, 15.0),
    "base": Range(1.0, 16.0),
    "fade_s": Range(0.0, 1e6),
    "bits": Range(8.0, 16.0),
}
HIGHEST_LEVEL = 254
# Levels over which the light of the standard curve grows tenfold.
LEVELS_PER_DECADE = 253.0 / 3.0
LOWEST_LOGARITHMIC_PERCENT = 0.1
EXTENDED_MULTIPLIERS_S = (0.1, 1.0, 10.0, 60.0)
# Below this share of full light CIE 1976 lightness is a straight line.
CIE_LINEAR_BELOW = (6.0 / 29.0) ** 3
CIE_SLOPE = (29.0 / 3.0) ** 3


def dali_light_percent(level: float, curve: Curve = "logarithmic") -> float:
    """Light in % at a DALI level of 1 to 254 on the standard (logarithmic) or the linear curve.

    Level 1 is 0.1 % and 254 is 100 % on the standard curve, 229 is 50.5 %; level 1 is 0.39 % on the
    linear one. Raises ValueError. Source: IEC 62386-102 (second hand), linear by AS/NZS 62386.207 9.3.
    """
    check_all(RANGES, level=level)
    if curve == "linear":
        return 100.0 * level / HIGHEST_LEVEL
    if curve == "logarithmic":
        return float(10.0 ** ((level - 1.0) / LEVELS_PER_DECADE - 1.0))
    raise ValueError(f"curve is {curve!r}; DALI gear follows the logarithmic or the linear curve")


def dali_level(light_percent: float, curve: Curve = "logarithmic") -> int:
    """The DALI level nearest to a light in %; 0 is off and light below level 1 gives level 1.

    Nearest in the steps of the curve: 50 % is 229, 10 % is 170, 1 % is 85 on the standard curve.
    Raises ValueError. Source: ``dali_light_percent`` turned round.
    """
    check_all(RANGES, light_percent=light_percent)
    if light_percent == 0:
        return 0
    if curve == "linear":
        exact = HIGHEST_LEVEL * light_percent / 100.0
    elif curve == "logarithmic":
        exact = 1.0 + LEVELS_PER_DECADE * (1.0 + math.log10(light_percent))
    else:
        raise ValueError(f"curve is {curve!r}; DALI gear follows the logarithmic or the linear curve")
    return max(1, min(HIGHEST_LEVEL, math.floor(exact + 0.5)))


def fade_time_s(code: float) -> float:
    """Fade time in seconds of code 1 to 15: half a second times the root of 2 to the code.

    Code 1: 0.707 s, 7: 5.66 s, 15: 90.5 s. Code 0 is no fade, or the extended fade time. Raises
    ValueError. Source: IEC 62386-102, second hand.
    """
    check_all(RANGES, code=code)
    return float(0.5 * math.sqrt(2.0**code))


def fade_rate_per_s(code: float) -> float:
    """Fade rate in levels a second of code 1 to 15: 506 divided by the root of 2 to the code.

    Code 1: 357.8, 7: 44.7, 15: 2.8. Raises ValueError. Source: IEC 62386-102, second hand.
    """
    check_all(RANGES, code=code)
    return float(506.0 / math.sqrt(2.0**code))


def extended_fade_s(base: float, multiplier_s: float) -> float:
    """Extended fade time in seconds: base 1 to 16 times 0.1, 1, 10 or 60 s; 0.1 s to 16 min.

    Raises ValueError. Source: IEC 62386-102 of 2014, second hand.
    """
    check_all(RANGES, base=base)
    if multiplier_s not in EXTENDED_MULTIPLIERS_S:
        raise ValueError(f"multiplier_s is {multiplier_s!r}; allowed are {EXTENDED_MULTIPLIERS_S}")
    return base * multiplier_s


def nearest_fade_s(fade_s: float, extended: bool) -> float:
    """The fade that gear can make which is nearest in ratio to one wanted, in seconds; 0 is none.

    Every gear knows the codes 1 to 15; ``extended`` adds the extended fade times of the second
    edition. 3 s: 2.83 s by code, 3 s extended. Raises ValueError.
    """
    check_all(RANGES, fade_s=fade_s)
    if fade_s == 0:
        return 0.0
    known = [fade_time_s(code) for code in range(1, 16)]
    if extended:
        known += [base * unit for unit in EXTENDED_MULTIPLIERS_S for base in range(1, 17)]
    return min(known, key=lambda seconds: (abs(math.log(seconds / fade_s)), seconds))


def dmx_lowest_step_percent(bits: float, curve: Curve) -> float:
    """Light in % of the lowest DMX value above off, for 8 to 16 bits a channel and a curve of the driver.

    Linear: 100/255 = 0.39 % for 8 bits, 0.0015 % for 16. Square law: the square of that share. A
    logarithmic driver starts at 0.1 %, as DALI gear does: an assumption, no standard fixes it. Raises
    ValueError. Source: derived.
    """
    check_all(RANGES, bits=bits)
    share = 1.0 / (float(2.0**bits) - 1.0)
    if curve == "logarithmic":
        return LOWEST_LOGARITHMIC_PERCENT
    return 100.0 * (share if curve == "linear" else share * share)


def perceived_percent(light_percent: float) -> float:
    """How bright a measured light in % looks, in %, by the square law: the root of the share.

    10 % looks like 31.6 %. Raises ValueError. Source: the square law curve of textbooks (second hand).
    """
    check_all(RANGES, light_percent=light_percent)
    return 100.0 * math.sqrt(light_percent / 100.0)


def measured_percent(looks_percent: float) -> float:
    """The measured light in % that looks as bright as wanted, by the square law: 50 % is 25 %."""
    check_all(RANGES, light_percent=looks_percent)
    return looks_percent * looks_percent / 100.0


def cie_lightness(light_percent: float) -> float:
    """CIE 1976 lightness L* of a light in % of full: 10 % is 37.8, 18.4 % is 50, 1 % is 9.0.

    Raises ValueError. Source: ISO/CIE 11664-4, formula from memory.
    """
    check_all(RANGES, light_percent=light_percent)
    share = light_percent / 100.0
    if share <= CIE_LINEAR_BELOW:
        return CIE_SLOPE * share
    return 116.0 * float(share ** (1.0 / 3.0)) - 16.0


def light_of_lightness_percent(lightness: float) -> float:
    """The light in % of a CIE lightness from 0 to 100: ``cie_lightness`` turned round."""
    check_all(RANGES, light_percent=lightness)
    if lightness <= CIE_SLOPE * CIE_LINEAR_BELOW:
        return 100.0 * lightness / CIE_SLOPE
    return float(100.0 * ((lightness + 16.0) / 116.0) ** 3)
