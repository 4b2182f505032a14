"""Flicker: the recommended practices of IEEE 1789 for the modulation of light.

IEEE Std 1789-2015 clause 8.1.1 (standard, second hand, quoted word for word) limits the modulation
in percent by frequency. RP1 (low risk): 0.025 f below 90 Hz, 0.08 f to 1250 Hz, none above. RP2
(no observable effect): 0.01 f, 0.0333 f to 3000 Hz, none above. RP3: 5 % below 90 Hz, always. The
standard does not say where exactly 90, 1250 and 3000 Hz belong: here 90 Hz is in the middle
range, 1250 and 3000 Hz still have their limit. Versions with other factors are in circulation.
"""

from __future__ import annotations

from typing import Literal

from compat.physics.ranges import Range

FREQUENCY_HZ = Range(0.0, 1e6, low_allowed=False)
Practice = Literal["rp1", "rp2", "rp3"]
PRACTICES: tuple[Practice, ...] = ("rp1", "rp2", "rp3")
# Factor below 90 Hz, factor from 90 Hz, highest frequency that is limited.
_FACTORS = {"rp1": (0.025, 0.08, 1250.0), "rp2": (0.01, 0.0333, 3000.0)}


def modulation_limit_percent(practice: Practice, frequency_hz: float) -> float | None:
    """Largest modulation in percent at a frequency, or None where the practice sets no limit.

    Hertz above 0 up to 1e6. rp1 at 100 Hz 8.0, at 120 Hz 9.6, at 1251 Hz none. The standard says
    "less than" the limit. It counts for the whole light source, dimmed or not. Raises ValueError.
    """
    FREQUENCY_HZ.check("frequency_hz", frequency_hz)
    if practice == "rp3":
        return 5.0 if frequency_hz < 90.0 else None
    if practice not in _FACTORS:
        raise ValueError(f"practice is {practice!r}; allowed are {', '.join(PRACTICES)}")
    low, middle, last = _FACTORS[practice]
    if frequency_hz < 90.0:
        return low * frequency_hz
    return middle * frequency_hz if frequency_hz <= last else None
