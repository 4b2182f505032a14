"""Cells as text with their places, whatever kind of file they come from."""

from __future__ import annotations

import datetime
import functools
import unicodedata
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from compat.intake import limits
from compat.model.faults import BadInput, Fault
from compat.model.values import Origin


class NumberText(str):
    """The text of a cell that the file holds as a number."""

    __slots__ = ()


class DateText(str):
    """The text of a cell that the file holds as a date, a time or a duration."""

    __slots__ = ()


class Unreadable(Exception):
    """A text outside its grammar: what is wrong, what is allowed, what to do."""

    def __init__(self, what: str, allowed: str = "", do: str = "") -> None:
        self.what, self.allowed, self.do = what, allowed, do
        super().__init__(what)

    def fault(self, where: Origin) -> Fault:
        """The same as a fault at a place."""
        return Fault(self.what, where, self.allowed, self.do)


@dataclass(frozen=True, slots=True)
class Flaw:
    """Why a cell cannot be read at all. ``idle`` marks a formula that shows 0, as empty rows do."""

    what: str
    do: str
    idle: bool = False


class Merge(NamedTuple):
    """A merged range in indexes of the grid, both ends included."""

    top: int
    left: int
    bottom: int
    right: int


@dataclass(slots=True)
class Grid:
    """The cells of one sheet or file as text, empty text for an empty cell.

    ``numbers`` holds the row number or line that people see for each row; ``place`` turns row
    index, column index and heading into a place. ``keyed`` says that the first row surely is the
    heading row; ``delimited`` that a row longer than the heading row is a slip of separators.
    """

    file: str
    rows: Sequence[Sequence[str]]
    numbers: Sequence[int]
    place: Callable[[int, int, str], Origin]
    sheet: str | None = None
    keyed: bool = False
    delimited: bool = False
    flaws: dict[tuple[int, int], Flaw] = field(default_factory=dict)
    formulas: set[tuple[int, int]] = field(default_factory=set)
    merges: list[Merge] = field(default_factory=list)
    hidden_rows: set[int] = field(default_factory=set)
    hidden_columns: set[int] = field(default_factory=set)
    struck: set[tuple[int, int]] = field(default_factory=set)

    def text(self, row: int, column: int) -> str:
        """The text of a cell, cleaned; empty outside the grid."""
        cells = self.rows[row]
        return clean(cells[column]) if column < len(cells) else ""


class FaultList:
    """Collects faults; past a thousand it stops reading, with a last fault that says so."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.faults: list[Fault] = []

    def add(self, fault: Fault) -> None:
        """Keep a fault. Raises BadInput when there are too many to be of use."""
        self.faults.append(fault)
        if len(self.faults) >= limits.FAULTS:
            what = f"the file has {limits.FAULTS} faults or more and was not read further"
            self.faults.append(Fault(what, Origin(self.file), do="Mend these and run it again"))
            raise BadInput(self.faults)

    def raise_if_any(self) -> None:
        """Raise BadInput with all faults kept so far."""
        if self.faults:
            raise BadInput(self.faults)


DATE_FLAW = Flaw(
    "the cell holds a date or a time, not a text or a number; a spreadsheet makes a date of a "
    "text such as 1-2",
    "Format the cell as text and write it again; write a range as '5 to 6'",
)


NO_NUMBER_FLAW = Flaw(
    "the value is not a finite number",
    "Write a number, or leave the cell empty when it is not known",
)


def flaw_of(text: str) -> Flaw | None:
    """What is wrong with a cell whatever its column: a date, NaN or an infinity."""
    if isinstance(text, DateText):
        return DATE_FLAW
    if isinstance(text, NumberText) and text.lower().lstrip("+-") in ("nan", "inf", "infinity"):
        return NO_NUMBER_FLAW
    return None


def to_text(value: object) -> str:
    """A value of a reader as text. Numbers keep every digit. Raises TypeError for nested values."""
    if value is None:
        return ""
    if isinstance(value, str):
        return value
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int):
        return NumberText(value)
    if isinstance(value, float):
        whole = value.is_integer() and abs(value) < 1e15
        return NumberText(int(value) if whole else repr(value))
    if isinstance(value, datetime.date | datetime.time | datetime.timedelta):
        return DateText(value)
    raise TypeError(type(value).__name__)


def clean(text: str) -> str:
    """Without invisible characters, with single spaces and none at the ends.

    The text of a number or a date stays what it is: 1.250 of a number is never a thousand.
    """
    return text if isinstance(text, NumberText | DateText) else _clean(text)


@functools.lru_cache(maxsize=1 << 16)
def _clean(text: str) -> str:
    if text.isascii():
        return " ".join(text.split())
    kept = (_visible(character) for character in text)
    return " ".join("".join(kept).split())


def _visible(character: str) -> str:
    category = unicodedata.category(character)
    if category == "Cf":
        return ""
    return "\ufffd" if category == "Cs" else character


def printable(text: str) -> str:
    """Safe to print: control characters and the like become a question mark."""
    kept = clean(text)
    return "".join("?" if unicodedata.category(c) in ("Cc", "Cs", "Co", "Cn") else c for c in kept)


def shown(text: str) -> str:
    """A text from a file as a fault quotes it: in quotes, safe to print, at most 40 characters."""
    kept = printable(text)
    return f"'{kept[:37]}...'" if len(kept) > 40 else f"'{kept}'"


@functools.cache
def column_letters(index: int) -> str:
    """``A`` for 0, ``AA`` for 26, as spreadsheets name columns."""
    letters = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


def column_index(letters: str) -> int:
    """0 for ``A``, 26 for ``AA``."""
    number = 0
    for letter in letters:
        number = number * 26 + ord(letter) - ord("A") + 1
    return number - 1
