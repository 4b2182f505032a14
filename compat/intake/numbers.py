"""The closed grammar of figures in a schedule.

``5.5``, ``5,5``, ``1 250``, ``5.5 to 6.5``, ``max 0.5``, ``~7``, ``350 mA``, ``2 x 9 W``, ``14.4 W/m, 5 m``;
nothing else. A mark before exactly three digits, as in ``1.250``, is read only when it is known which mark
stands before the decimals of the column.
"""

from __future__ import annotations

import functools
import math
import re
from dataclasses import dataclass
from decimal import Decimal

from compat.intake import limits
from compat.intake.alias_tables import NOT_KNOWN as NOT_KNOWN_LIST
from compat.intake.alias_tables import is_one_of
from compat.intake.cells import NumberText, Unreadable, shown
from compat.intake.figure_grammar import (
    ABOUT,
    AT_LEAST,
    AT_MOST,
    IN_DOUBT,
    LENGTH_FIRST,
    ONE,
    PER_METRE,
    RANGE,
    TIMES,
    DecimalMark,
    bounded,
    normal,
)
from compat.intake.units import UnitTable, label_with_unit
from compat.model.values import Interval
from compat.model.vocabulary import TraitDefinition

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
# Traits that a range to 100 % gives by its lower end: '1-100 %' is a dimming range.
LOWEST_LEVELS = frozenset(("dim_floor_percent", "wanted_dim_floor_percent"))
# Traits of the mains, which direct voltage is not.
MAINS_VOLTAGES = frozenset(("input_voltage_min_v", "input_voltage_max_v"))
# How far 'about' may be off, as a share of the figure. Common practice, no source.
ROUGH_SHARE = Decimal("0.1")
_NO_SEPARATOR = "Write it without a thousands separator and with a point before the decimals"
_EXAMPLE = "A number such as 5.5, a range such as 5.5 to 6.5, or empty when it is not known"

_PIECES = re.compile(
    r" ?(?:nos?|nr|off|pcs?|pieces?|stks?|st|st[uü]cke?|styck|u|uds?|unidades|pi[eè]ces?|pz|pezzi|ea|each"
    r"|[x×]|stuks?)\.?$",
    re.IGNORECASE,
)

# The words that say 'not known' in English; ``is_not_known`` knows those of every language.
NOT_KNOWN = frozenset(
    ("", "-", "--", "?", "??", "unknown", "not known", "n/k", "nk", "n/a", "na", "tbc", "tbd", "tba")
)


@functools.lru_cache(maxsize=1 << 16)
def is_not_known(text: str) -> bool:
    """Whether a text only says that something is not known, in any language of the tables; empty does."""
    return not text.strip() or text.casefold() in NOT_KNOWN or is_one_of(text, NOT_KNOWN_LIST)


@dataclass(frozen=True, slots=True)
class Figures:
    """Reads figures of one trait.

    ``unit`` is that of a bare number, the heading's or the trait's; empty when it is not settled, so that a
    bare number is refused. ``decimal`` is the mark before the decimals, None when it is not known.
    Raises Unreadable for every text outside the grammar and every figure out of range.
    """

    trait: TraitDefinition
    units: UnitTable
    unit: str
    decimal: DecimalMark | None = None

    def interval(self, text: str) -> Interval | None:
        """The interval in the trait's unit; None when the text says that it is not known."""
        written = normal(text)
        if is_not_known(written):
            return None
        if len(written) > limits.CELL_TEXT:
            raise self._unreadable(text)
        if isinstance(text, NumberText):
            low = high = self._scaled(written, None, text, number=True)
        else:
            low, high = self._ends(written, text)
        for end in (low, high):
            self._check(end, text)
        if self.trait.name in LOWEST_LEVELS and 100 in (low, high) and low != high:
            # '1-100 %' and '100-1 %' are dimming ranges: the lowest level is their lower end.
            low = high = min(low, high)
        if low > high:
            what = f"{shown(text)} has the larger end first"
            raise Unreadable(what, do="Write the smaller first")
        if high == 0 and self.trait.name in NEVER_ZERO:
            what = f"{shown(text)} cannot be the {self.trait.label}"
            raise Unreadable(what, do="Leave the cell empty when it is not known")
        return Interval(low, high)

    def _ends(self, written: str, text: str) -> tuple[float, float]:
        if found := RANGE.fullmatch(written):
            low, low_unit, sign, high, high_unit = found.groups()
            if sign == "/" and self.trait.unit not in ("v", "hz"):
                raise self._unreadable(text)
            lower = self._scaled(low, low_unit or high_unit, text)
            return lower, self._scaled(high, high_unit or low_unit, text)
        if self.trait.unit == "w_per_m" and (found := PER_METRE.fullmatch(written)) and not found[2]:
            end = float(self._number(found[1], text))
            return end, end
        if self.trait.unit == "w" and (watts := self._of_several(written, text)):
            return watts
        if found := ONE.fullmatch(written):
            end = self._scaled(found[1], found[2], text)
            return end, end
        if one := bounded(ABOUT, written):
            end = self._scaled(one[1], one[2], text)
            return float(Decimal(repr(end)) * (1 - ROUGH_SHARE)), float(
                Decimal(repr(end)) * (1 + ROUGH_SHARE)
            )
        if one := bounded(AT_MOST, written):
            return 0.0, self._scaled(one[1], one[2], text)
        if one := bounded(AT_LEAST, written):
            return self._scaled(one[1], one[2], text), self._ceiling(text)
        raise self._unreadable(text)

    def _of_several(self, written: str, text: str) -> tuple[float, float] | None:
        """``2 x 9 W`` as 18 W, ``14.4 W/m, 5 m`` as 72 W; None for another text."""
        if found := TIMES.fullmatch(written):
            one = ONE.fullmatch(found[2])
            if one and int(found[1]) > 0:
                end = float(int(found[1]) * Decimal(repr(self._scaled(one[1], one[2], text))))
                return end, end
        length: tuple[str, str] | None = None
        if found := PER_METRE.fullmatch(written):
            figure, length = found[1], (found[2], found[3]) if found[2] else None
        elif found := LENGTH_FIRST.fullmatch(written):
            figure, length = found[3], (found[1], found[2])
        else:
            return None
        if length is None:
            do = "Write the length beside it, such as 14.4 W/m, 5 m"
            raise Unreadable(f"{shown(text)} is the power of one metre, and no length is given", do=do)
        metres = self._number(length[0], text) * self._metres_of(length[1])
        end = float(self._number(figure, text) * metres)
        return end, end

    def _metres_of(self, unit: str) -> Decimal:
        name = self.units.name(unit)
        return Decimal(repr(self.units.vocabulary.units[name].factor)) if name else Decimal(1)

    def _scaled(self, figure: str, unit: str | None, text: str, number: bool = False) -> float:
        value = self._number(figure, text, number)
        if unit is None and not self.unit:
            known = label_with_unit(self.trait, self.units.vocabulary)
            do = "Write the unit in the heading or behind the figure"
            raise Unreadable(f"{shown(text)} has no unit", f"The {known} may be written in other units", do)
        if unit and self.trait.name in MAINS_VOLTAGES and re.search(r"dc|=|d\.c", unit, re.IGNORECASE):
            what = f"{shown(text)} is direct voltage, not that of the mains"
            raise Unreadable(what, do="Leave the cell empty, or write the voltage of the mains")
        factor, divisor = self.units.conversion(unit or self.unit, self.trait, text)
        return float(value * factor / divisor)

    def _number(self, figure: str, text: str, number: bool = False) -> Decimal:
        """The value of a figure by the decimal mark. Raises Unreadable when it has two readings."""
        if number:
            return _decimal(figure, self, text)
        plain = re.sub("[ '’]", "", figure)
        if "," in plain and "." in plain:
            mark: str | None = "," if plain.rindex(",") > plain.rindex(".") else "."
        elif plain.count(",") > 1 or plain.count(".") > 1:
            mark = "." if "," in plain else ","
        elif IN_DOUBT.fullmatch(plain) and plain == figure:
            mark = self.decimal
            if mark is None:
                point = plain.replace(",", ".")
                what = f"{shown(text)} may mean {point} or {re.sub('[.,]', '', plain)}"
                raise Unreadable(what, do=_NO_SEPARATOR)
        else:
            # One mark that cannot part thousands stands before the decimals.
            mark = "," if "," in plain else "."
        other = "," if mark == "." else "."
        if plain.count(str(mark)) > 1:
            raise self._unreadable(text)
        return _decimal(plain.replace(other, "").replace(str(mark), "."), self, text)

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
        label = label_with_unit(self.trait, self.units.vocabulary)
        return Unreadable(f"{shown(text)} cannot be read as the {label}", _EXAMPLE)


def ceiling(trait: TraitDefinition) -> float | None:
    """The most a trait can be by its nature: 100 %, a power factor of 1; None when open."""
    if trait.unit == "percent":
        return 100.0
    return 1.0 if trait.name == "power_factor" else None


@functools.lru_cache(maxsize=1 << 12)
def quantity(text: str) -> int:
    """A quantity of luminaires, from 1 to 100000. Raises Unreadable."""
    allowed = f"A quantity is a whole number from 1 to {limits.LARGEST_QUANTITY}"
    if is_not_known(text):
        raise Unreadable("the quantity is missing", allowed)
    written = re.sub(r"^[x×] ?(?=[0-9])", "", _PIECES.sub("", text), flags=re.IGNORECASE)
    if re.fullmatch(r"[0-9]{1,9}(?:[.,]0{1,2})?", written, re.ASCII):
        count = int(re.split("[.,]", written)[0])
        if 1 <= count <= limits.LARGEST_QUANTITY:
            return count
    raise Unreadable(f"{shown(text)} is not a quantity", allowed)


def _decimal(figure: str, figures: Figures, text: str) -> Decimal:
    try:
        return Decimal(figure)
    except ArithmeticError as error:
        raise figures._unreadable(text) from error
