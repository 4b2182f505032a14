"""What the reading has to tell, gathered while it goes: once for each thing, with how often and where."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from compat.intake.cells import FaultList, Unreadable, printable, shown
from compat.intake.headings import Bound
from compat.model.faults import Fault
from compat.model.reading import LOST, LeftOut, ReadColumn, Reading, UnreadWord
from compat.model.values import Origin

MOST_NAMED = 12
MANY_ROWS = 3
# What a verdict hangs on most: the columns that give it, and its word.
_DECISIVE = ((("input_power_w", "total_power_w", "apparent_power_va", "input_current_a"), "watts"),
             (("methods",), "methods"))  # fmt: skip
# Why a column is left out that the user's own map leaves out; that is not told again.
BY_MAP = "the map leaves it out"
RATINGS = "it holds ratings, and what is needed is a label of each device, such as B1 for all circuits of one"


@dataclass(slots=True)
class _Unread:
    """One text under one heading that is not understood."""

    text: str
    bound: Bound
    error: Unreadable
    first: Origin
    count: int = 0


@dataclass(slots=True)
class Told:
    """Faults that stop the file, notes that do not, and the record of the reading."""

    faults: FaultList
    notes: list[str] = field(default_factory=list)
    columns: list[ReadColumn] = field(default_factory=list)
    columns_left_out: list[LeftOut] = field(default_factory=list)
    rows_left_out: list[LeftOut] = field(default_factory=list)
    _unread: dict[tuple[str, str], _Unread] = field(default_factory=dict)
    _groups: dict[str, list[Origin]] = field(default_factory=dict)
    _once: set[str] = field(default_factory=set)

    def fault(self, what: str, where: Origin, allowed: str = "", do: str = "") -> None:
        """A fault that stops the file once it is read through."""
        self.faults.add(Fault(what, where, allowed, do))

    def unread(self, text: str, bound: Bound, error: Unreadable, where: Origin) -> None:
        """A text of an optional cell that is not understood: its value is not known."""
        found = self._unread.setdefault((bound.heading, text), _Unread(text, bound, error, where))
        found.count += 1

    def row_left_out(self, text: str, where: Origin, why: str) -> None:
        """A row that is not read, and why."""
        self.rows_left_out.append(LeftOut(text, where, why))

    def grouped(self, sentence: str, where: Origin) -> None:
        """A remark on a cell; the same remark on many cells becomes one note with the first place."""
        self._groups.setdefault(sentence, []).append(where)

    def once(self, note: str, where: Origin) -> None:
        """A note on a heading, told for the first sheet that has it."""
        if note not in self._once:
            self._once.add(note)
            self.notes.append(f"{where.text()}: {note}")

    def all_notes(self, rows: int, lacking: Mapping[str, int]) -> list[str]:
        """The notes, gravest first; ``rows`` is how many rows the schedule has, ``lacking`` in how many
        of them a trait is not known."""
        grouped = [
            f"{places[0].text()}: {sentence}." + (f" So in {len(places)} rows." if len(places) > 1 else "")
            for sentence, places in self._groups.items()
        ]
        first = [*self._lost(rows, lacking), *self._columns_note()]
        return [*first, *self._unread_notes(), *grouped, *self._rows_notes(), *self.notes]

    def reading(self) -> Reading:
        """The record of the reading."""
        unread = tuple(
            UnreadWord(entry.text, entry.bound.heading, entry.count, entry.first, entry.error.what)
            for entry in self._unread.values()
        )
        return Reading(tuple(self.columns), tuple(self.columns_left_out), tuple(self.rows_left_out), unread)

    def _lost(self, rows: int, lacking: Mapping[str, int]) -> list[str]:
        """Says first when the watts or the methods of many rows could not be read."""
        lost = []
        for names, word in _DECISIVE:
            unread = sum(e.count for e in self._unread.values() if e.bound.column.name in names)
            count = min(unread, lacking.get(names[0], 0))
            if count * 5 > rows:
                lost.append(f"the {word} of {count}")
        if lost:
            return [f"{LOST}: {' and '.join(lost)} of {rows} rows; their circuits cannot be proven."]
        read = {column.name for column in self.columns}
        none = [word for names, word in _DECISIVE if read.isdisjoint(names) and lacking.get(names[0]) == rows]
        if rows < MANY_ROWS or not none or all(entry.why for entry in self.columns_left_out):
            return []
        return [f"{LOST}: no column was found that gives the {' or the '.join(none)}; --map FILE names it."]

    def _columns_note(self) -> list[str]:
        plain = [entry for entry in self.columns_left_out if not entry.why]
        reasons = [
            f"{entry.place.text()}: {f'the column {shown(entry.text)} is left out: ' if entry.text else ''}"
            f"{entry.why}."
            for entry in self.columns_left_out
            if entry.why not in ("", BY_MAP)
        ]
        if not plain:
            return reasons
        names = listed(dict.fromkeys(printable(entry.text) for entry in plain))
        return [f"Columns left out: {names}.", *reasons]

    def _rows_notes(self) -> list[str]:
        """A note for each reason, or for the one row that has it."""
        by_reason: dict[str, list[LeftOut]] = {}
        for entry in self.rows_left_out:
            by_reason.setdefault(entry.why, []).append(entry)
        notes = []
        for why, entries in by_reason.items():
            first = entries[0]
            note = f"{first.place.text()}: the row {why} and is not read"
            if len(entries) > 1:
                others = listed(spot(entry.place) for entry in entries[1:])
                be = "is" if len(entries) == 2 else "are"
                note += f"; so {be} {len(entries) - 1} more: {others}"
            notes.append(f"{note}.")
        return notes

    def _unread_notes(self) -> list[str]:
        """A note for each column and what is allowed there, with each distinct text once."""
        alike: dict[tuple[str, str], list[_Unread]] = {}
        for (heading, _), entry in self._unread.items():
            alike.setdefault((heading, entry.error.allowed), []).append(entry)
        return [_unread_note(entries) for entries in alike.values()]


def _unread_note(entries: Sequence[_Unread]) -> str:
    first = entries[0]
    if len(entries) == 1:
        often = f" It stands in {first.count} cells, this is the first." if first.count > 1 else ""
        return f"{first.error.fault(first.first).sentence()} The value is taken as not known.{often}"
    texts = listed(
        f"{shown(entry.text)} ({f'{entry.count} cells from ' if entry.count > 1 else ''}{spot(entry.first)})"
        for entry in entries
    )
    what = f"texts under {shown(first.bound.heading)} are not understood and taken as not known: {texts}"
    do = first.error.do if len({entry.error.do for entry in entries}) == 1 else ""
    return Fault(what, first.first, first.error.allowed, do).sentence()


def listed(items: Iterable[object], most: int = MOST_NAMED) -> str:
    """``a, b, c and 5 more``."""
    kept: Sequence[object] = list(items)
    more = f" and {len(kept) - most} more" if len(kept) > most else ""
    return ", ".join(map(str, kept[:most])) + more


def spot(place: Origin) -> str:
    """The place without its file: cell, line or key."""
    if place.cell:
        return place.cell
    return f"line {place.line}" if place.line is not None else (place.key or place.file)
