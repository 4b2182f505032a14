"""Where each key and list entry of a TOML or JSON text stands.

The text has been through its parser, which checks it and keeps no places; the scan here only follows the
structure. A property test holds the keys it finds equal to the parser's, and the text at each place to
the parser's value.
"""

from __future__ import annotations

import json
import re
from bisect import bisect_left
from dataclasses import dataclass, field

import tomli

STRING = (
    r'"""(?:[^"\\]|\\.|"{1,2}(?!"))*+"{3,5}'
    r"|'''(?:[^']|'{1,2}(?!'))*+'{3,5}"
    r'|"(?:[^"\\]|\\.)*+"'
    r"|'[^']*+'"
)
# A date and its time may be parted by a space.
PLAIN = r"[0-9]{4}-[0-9]{2}-[0-9]{2} [0-9][^\s,\]}#]*+|[^\s,\]}#]++"
VALUE = re.compile(f"(?:{STRING}|{PLAIN})", re.DOTALL)
KEY = re.compile(f"(?:{STRING}|[A-Za-z0-9_-]++)", re.DOTALL)
SPACE = re.compile(r"[ \t]*+")
BETWEEN = re.compile(r"(?:[ \t\r\n,]|#[^\n]*+)*+")


@dataclass(slots=True)
class KeyPlace:
    """A key or list entry: the offset at which it is written, and what lies below it by key or number."""

    offset: int
    below: dict[str | int, KeyPlace] = field(default_factory=dict)


class Positions:
    """The places of a text that its parser accepts. Time and memory are linear in the text."""

    def __init__(self, text: str, is_json: bool) -> None:
        self._text = text
        self._is_json = is_json
        self._line_ends = [match.start() for match in re.finditer("\n", text)]
        self.root = KeyPlace(0)
        self.doubled: list[tuple[str, int]] = []  # keys given twice in one object of JSON, with their lines
        if is_json:
            self._value(self._after(BETWEEN, 0), self.root)
        else:
            self._toml()

    def line(self, *steps: str | int) -> int | None:
        """The line, from 1, of the last of some steps that is there; what is not there is passed over."""
        place = self.root
        for step in steps:
            place = place.below.get(step, place)
        return None if place is self.root else self._line_at(place.offset)

    def _line_at(self, offset: int) -> int:
        return bisect_left(self._line_ends, offset) + 1

    def _after(self, pattern: re.Pattern[str], at: int) -> int:
        match = pattern.match(self._text, at)
        assert match is not None
        return match.end()

    def _toml(self) -> None:
        table, at = self.root, self._after(BETWEEN, 0)
        while at < len(self._text):
            if self._text[at] == "[":
                table, at = self._header(at)
            else:
                value, at = self._keys(at, table)
                at = self._value(at, value)
            at = self._after(BETWEEN, at)

    def _header(self, start: int) -> tuple[KeyPlace, int]:
        """The table of ``[a.b]``, or the new entry of ``[[a.b]]``; a list on the way means its last entry."""
        is_list = self._text.startswith("[[", start)
        place, at, ended = self.root, start + (2 if is_list else 1), False
        while not ended:
            name, at = self._name(self._after(SPACE, at))
            at = self._after(SPACE, at)
            ended = self._text[at] == "]"
            place = place.below.setdefault(name, KeyPlace(start))
            if not (ended and is_list) and 0 in place.below:
                place = place.below[len(place.below) - 1]
            at += 1
        if is_list:
            place = place.below.setdefault(len(place.below), KeyPlace(start))
            return place, at + 1
        place.offset = start
        return place, at

    def _keys(self, at: int, table: KeyPlace) -> tuple[KeyPlace, int]:
        """The place that ``a.b =`` or ``"a":`` names, and the offset of its value."""
        while True:
            start = at
            name, at = self._name(at)
            if self._is_json and name in table.below:
                self.doubled.append((name, self._line_at(start)))
            table = table.below.setdefault(name, KeyPlace(start))
            at = self._after(BETWEEN, at)
            mark, at = self._text[at], self._after(BETWEEN, at + 1)
            if mark != ".":
                return table, at

    def _name(self, at: int) -> tuple[str, int]:
        end = self._after(KEY, at)
        written = self._text[at:end]
        if written[0] not in "\"'":
            return written, end
        if "\\" not in written:
            return written[1:-1], end
        name = json.loads(written) if self._is_json else tomli.loads(f"{written} = 0").popitem()[0]
        return str(name), end

    def _value(self, at: int, place: KeyPlace) -> int:
        """Follow a value to its end; lists and tables open are kept here, so that depth costs no stack."""
        levels: list[tuple[KeyPlace, bool]] = []
        while True:
            opening = self._text[at]
            if opening in "[{":
                levels.append((place, opening == "["))
                at += 1
            else:
                at = self._after(VALUE, at)
            if not levels:
                return at
            at = self._after(BETWEEN, at)
            while levels and self._text[at] in "]}":
                levels.pop()
                at = self._after(BETWEEN, at + 1)
            if not levels:
                return at
            place, is_list = levels[-1]
            if is_list:
                place = place.below.setdefault(len(place.below), KeyPlace(at))
            else:
                place, at = self._keys(at, place)
