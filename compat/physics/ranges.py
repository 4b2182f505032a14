"""The range a value may have, and its check."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from compat.model.values import Interval


@dataclass(frozen=True, slots=True)
class Range:
    """Finite numbers from ``low`` to ``high``; ``low`` itself only when ``low_allowed``."""

    low: float
    high: float
    low_allowed: bool = True

    def holds(self, value: float) -> bool:
        """Whether ``value`` is inside; never for NaN or an infinity."""
        above = value >= self.low if self.low_allowed else value > self.low
        return math.isfinite(value) and above and value <= self.high

    def check(self, name: str, value: float) -> float:
        """``value`` as a float; raises ValueError saying what it is and what is allowed."""
        if not self.holds(value):
            raise ValueError(f"{name} is {value!r}; allowed is {self.text()}")
        return float(value)

    def check_interval(self, name: str, value: Interval) -> Interval:
        """An interval with both ends inside; raises ValueError."""
        self.check(f"the low end of {name}", value.low)
        self.check(f"the high end of {name}", value.high)
        if value.low > value.high:
            raise ValueError(f"{name} runs from {value.low!r} to {value.high!r}; the low end comes first")
        return value

    def text(self) -> str:
        """The range in words."""
        start = "from" if self.low_allowed else "above"
        return f"a number {start} {self.low:g} up to {self.high:g}"


def check_all(ranges: Mapping[str, Range], **values: float) -> None:
    """Check each named value against its range of the same name; raises ValueError."""
    for name, value in values.items():
        allowed = ranges[name]
        # The rest, such as the low end itself, infinities and NaN, is looked at with more care.
        if not allowed.low < value < allowed.high:
            allowed.check(name, value)
