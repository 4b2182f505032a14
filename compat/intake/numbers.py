"""The closed grammar of figures in a schedule.

``5.5``, ``5,5``, ``5.5 to 6.5``, ``5.5-6.5``, ``max 0.5``, ``28 A``, ``350 mA``, ``28 A/380 us``;
nothing else. A thousands separator is refused because ``1,234`` has two readings.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from decimal import Decimal

from compat.intake import limits
from compat.intake.cells import Unreadable, shown
from compat.intake.units import UnitTable, label_with_unit
from compat.model.values import Interval
from compat.model.vocabulary import TraitDefinition

NOT_KNOWN = frozenset(("", "-", "--", "?", "??", "unknown", "not known", "n/k", "nk")) | frozenset(
    ("n/a", "na", "tbc", "tbd", "tba")
)
# An exact zero in these is a placeholder, never a figure of a rating plate.
NEVER_ZERO = frozenset(
    (
        "input_power_w",
        "input_current_a",
        "power_factor",
        "input_voltage_min_v",
        "input_voltage_max_v",
        "input_frequency_min_hz",
        "input_frequency_max_hz",
        "control_full_output_v",
    )
)
# Dashes and the minus sign as a hyphen, the Greek letter mu as the micro sign.
SIGNS = str.maketrans(dict.fromkeys("\u2010\u2011\u2012\u2013\u2014\u2212", "-") | {"\u03bc": "µ"})
# Atomic groups: '1e-5 A' is one figure and never the range '1 e' to '5 A'.
_FIGURE = r"(?>[+-]?(?:[0-9]{1,20}(?:[.,][0-9]{1,20})?|[.,][0-9]{1,20})(?:[eE][+-]?[0-9]{1,3})?)"
_GROUPED = r"[0-9]{1,3}(?:[,. '][0-9]{3})+(?:[.,][0-9]+)?"
_UNIT = r"[A-Za-zµΩ%°][^\W_]*(?: ?(?:ac|AC|~))?"
_ONE = re.compile(rf"({_FIGURE})(?: ?({_UNIT}))?")
_RANGE = re.compile(rf"({_FIGURE})(?: ?({_UNIT}))??(?: ?(-|\.\.\.?|…|/|to) ?)({_FIGURE})(?: ?({_UNIT}))?")
_AT_MOST = re.compile(
    r"(?:≤|<=|<|max\.?|maximum|up to|at most) ?(.+)|(.+?) ?(?:max\.?|maximum)", re.IGNORECASE
)
_AT_LEAST = re.compile(r"(?:≥|>=|>|min\.?|minimum|at least) ?(.+)|(.+?) ?(?:min\.?|minimum)", re.IGNORECASE)
_PAIR = re.compile(r"([^/@]+?) ?[/@] ?([^/@]+)")
# Only a comma before exactly three digits is in doubt, and not after a lone zero.
_THOUSANDS = re.compile(r"[+-]?[1-9][0-9]{0,2},[0-9]{3}")
_NO_SEPARATOR = "Write it without a thousands separator and with a point before the decimals"
_EXAMPLE = "A number such as 5.5, a range such as 5.5 to 6.5, or empty when it is not known"


@dataclass(frozen=True, slots=True)
class Figures:
    """Reads figures of one trait; ``unit`` is that of a bare number, the heading's or the trait's.

    Raises Unreadable for every text outside the grammar and every figure out of range.
    """

    trait: TraitDefinition
    units: UnitTable
    unit: str

    def interval(self, text: str) -> Interval | None:
        """The interval in the trait's unit; None when the text says that it is not known."""
        written = " ".join(text.translate(SIGNS).split())
        if written.casefold() in NOT_KNOWN:
            return None
        if len(written) > limits.CELL_TEXT:
            raise self._unreadable(text)
        low, high = self._ends(written, text)
        for end in (low, high):
            self._check(end, text)
        if low > high:
            what = f"{shown(text)} has the larger end first"
            raise Unreadable(what, do="Write the smaller first")
        if high == 0 and self.trait.name in NEVER_ZERO:
            what = f"{shown(text)} cannot be the {self.trait.label}"
            raise Unreadable(what, do="Leave the cell empty when it is not known")
        return Interval(low, high)

    def _ends(self, written: str, text: str) -> tuple[float, float]:
        if found := _RANGE.fullmatch(written):
            low, low_unit, between, high, high_unit = found.groups()
            if between == "/" and self.trait.unit not in ("v", "hz"):
                raise self._unreadable(text)
            lower = self._scaled(low, low_unit or high_unit, text)
            return lower, self._scaled(high, high_unit or low_unit, text)
        if found := _ONE.fullmatch(written):
            end = self._scaled(found[1], found[2], text)
            return end, end
        if one := _bound(_AT_MOST, written):
            return 0.0, self._scaled(one[1], one[2], text)
        if one := _bound(_AT_LEAST, written):
            return self._scaled(one[1], one[2], text), self._ceiling(text)
        raise self._unreadable(text)

    def _scaled(self, figure: str, unit: str | None, text: str) -> float:
        if _THOUSANDS.fullmatch(figure):
            what = f"{shown(text)} may mean {figure.replace(',', '.')} or {figure.replace(',', '')}"
            raise Unreadable(what, do=_NO_SEPARATOR)
        value = Decimal(figure.replace(",", "."))
        factor, divisor = self.units.conversion(unit or self.unit, self.trait, text)
        return float(value * factor / divisor)

    def _check(self, end: float, text: str) -> None:
        label = label_with_unit(self.trait, self.units.vocabulary)
        if end < 0:
            raise Unreadable(f"{shown(text)} is below zero", f"The {label} is 0 or more")
        if not math.isfinite(end) or end > limits.LARGEST_FIGURE:
            raise Unreadable(f"{shown(text)} is too large", "The largest figure is 1000000000")
        top = ceiling(self.trait)
        if top is not None and end > top:
            raise Unreadable(f"{shown(text)} is too large", f"The {label} is at most {top:g}")
        if self.trait.unit == "count" and not end.is_integer():
            raise Unreadable(f"{shown(text)} is not a whole number", f"The {label} is a count")

    def _ceiling(self, text: str) -> float:
        top = ceiling(self.trait)
        if top is None:
            what = f"{shown(text)} gives no upper end"
            raise Unreadable(what, do="Write a range, or leave the cell empty")
        return top

    def _unreadable(self, text: str) -> Unreadable:
        if re.fullmatch(rf"[+-]?{_GROUPED}(?: ?{_UNIT})?", text.strip()):
            return Unreadable(f"{shown(text)} has a thousands separator", do=_NO_SEPARATOR)
        label = label_with_unit(self.trait, self.units.vocabulary)
        return Unreadable(f"{shown(text)} cannot be read as the {label}", _EXAMPLE)


def ceiling(trait: TraitDefinition) -> float | None:
    """The most a trait can be by its nature: 100 %, a power factor of 1; None when open."""
    if trait.unit == "percent":
        return 100.0
    return 1.0 if trait.name == "power_factor" else None


def split_pair(text: str) -> tuple[str, str] | None:
    """``28 A/380 us`` in its two parts, when both hold a figure; None otherwise."""
    found = _PAIR.fullmatch(" ".join(text.translate(SIGNS).split()))
    if found and all(re.search("[0-9]", part) for part in found.groups()):
        return found[1], found[2]
    return None


def quantity(text: str) -> int:
    """A quantity of luminaires, from 1 to 100000. Raises Unreadable."""
    allowed = f"A quantity is a whole number from 1 to {limits.LARGEST_QUANTITY}"
    if text.casefold() in NOT_KNOWN:
        raise Unreadable("the quantity is missing", allowed)
    if re.fullmatch(r"[0-9]{1,9}(?:[.,]0{1,2})?", text):
        count = int(re.split("[.,]", text)[0])
        if 1 <= count <= limits.LARGEST_QUANTITY:
            return count
    raise Unreadable(f"{shown(text)} is not a quantity", allowed)


def _bound(words: re.Pattern[str], written: str) -> re.Match[str] | None:
    found = words.fullmatch(written)
    return _ONE.fullmatch(found[1] or found[2]) if found else None
