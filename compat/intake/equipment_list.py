"""A practice's own list of drivers or outputs in a spreadsheet, read as schedules are.

One row is one entry; the practice's own type code is its id. What a row does not state is not known.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

from compat.dataset.read import Equipment
from compat.intake import limits
from compat.intake.cell_values import CellReader
from compat.intake.cells import Grid, Unreadable, printable, shown
from compat.intake.description import DescriptionReader
from compat.intake.figure_grammar import DecimalMark, decimal_mark
from compat.intake.headings import Bound, Headings
from compat.intake.numbers import is_not_known
from compat.intake.source import grids_of
from compat.model.equipment import SUBJECT_OF
from compat.model.faults import BadInput, Fault
from compat.model.values import Origin, Trait
from compat.model.vocabulary import Vocabulary

# The columns that may hold an entry's code, and those that may hold its name, the likeliest first.
CODES = ("luminaire_type_code", "driver", "luminaire_type")
NAMES = ("description", "luminaire_type", "driver")
SEARCHED_ROWS = 40
LONGEST_ID = 64
LONGEST_NAME = 120


@dataclass(slots=True)
class EquipmentList:
    """The entries of a list by id, in its order, and notes on what was left out or is not known."""

    entries: dict[str, Equipment]
    notes: tuple[str, ...] = ()


def read_equipment_list(path: Path, table: str, vocabulary: Vocabulary) -> EquipmentList:
    """The list of ``drivers`` or ``outputs`` in a spreadsheet; every value carries its cell.

    A cell that cannot be read is not known and is told in the notes, each distinct text once. Raises BadInput
    when no sheet has a column of type codes beside one of what is listed, or a code stands twice.
    """
    subject = SUBJECT_OF[table]
    headings = Headings(vocabulary, subject)
    file = printable(path.name)
    sheets = [(grid, *_header(grid, headings)) for grid in grids_of(path, headings)]
    lists = [(grid, row, bound) for grid, row, bound in sheets if _is_list_of(subject, bound)]
    if not lists:
        allowed = "One of the first rows holds the headings, with a type code and at least one figure or word"
        do = f"'compat template --{table}' writes an empty list to fill in"
        raise BadInput([Fault(f"no list of {table} was found", Origin(file), allowed, do)])
    reader = _ListReader(subject, vocabulary, headings)
    for grid, row, bound in lists:
        reader.read(grid, row, bound)
    if reader.faults:
        raise BadInput(reader.faults)
    if not reader.entries:
        do = "Write one row for each type"
        raise BadInput([Fault("there are headings but no rows below them", Origin(file), do=do)])
    return EquipmentList(reader.entries, tuple(reader.notes()))


def _header(grid: Grid, headings: Headings) -> tuple[int, dict[str, Bound]]:
    """The row that names most columns, and its columns by name; the first heading of a column is taken."""
    best: tuple[int, dict[str, Bound]] = (0, {})
    for row in range(min(SEARCHED_ROWS, len(grid.rows))):
        bound: dict[str, Bound] = {}
        for index in range(min(len(grid.rows[row]), limits.COLUMNS)):
            text = grid.text(row, index)
            if text and headings.recognised(text):
                try:
                    found = headings.bind(index, text)
                except Unreadable:
                    continue
                first = bound.get(found.column.name)
                if first is None or (first.weak and not found.weak):
                    bound[found.column.name] = found
        if len(bound) > len(best[1]):
            best = row, bound
    return best


def _is_list_of(subject: str, bound: dict[str, Bound]) -> bool:
    traits = [column for column in bound.values() if column.column.traits and column.column.target != "row"]
    has_more = bool(traits) or (subject == "driver" and "description" in bound)
    return any(name in bound for name in CODES) and has_more


@dataclass(slots=True)
class _ListReader:
    """Reads the rows of one list after the other."""

    subject: str
    vocabulary: Vocabulary
    headings: Headings
    entries: dict[str, Equipment] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)
    _first: dict[str, Origin] = field(default_factory=dict)
    _unread: dict[tuple[str, str], list[Origin]] = field(default_factory=dict)
    _left_out: dict[str, None] = field(default_factory=dict)
    _guessed: dict[str, str] = field(default_factory=dict)
    _without_code: list[Origin] = field(default_factory=list)

    def read(self, grid: Grid, header: int, bound: dict[str, Bound]) -> None:
        """The entries below a heading row."""
        code = next(bound[name] for name in CODES if name in bound)
        bound = self._with_method(grid, header, bound)
        taken = {column.index for column in bound.values()}
        for index in range(min(len(grid.rows[header]), limits.COLUMNS)):
            text = grid.text(header, index)
            if text and index not in taken:
                self._left_out[text] = None
        for column in bound.values():
            if column.score < 100:
                self._guessed[column.heading] = f"{column.nearest} (score {column.score:g} of 100)"
        reader = CellReader(self.vocabulary, self.headings.units, _file_mark(grid, header, bound.values()))
        for row in range(header + 1, len(grid.rows)):
            filled = {name: column for name, column in bound.items() if grid.text(row, column.index)}
            if not filled or all(grid.text(row, c.index) == c.heading for c in filled.values()):
                continue
            where = grid.place(row, code.index, code.heading)
            entry_id = grid.text(row, code.index)
            if is_not_known(entry_id):
                self._without_code.append(where)
            elif self._is_sound(entry_id, where):
                name = next((grid.text(row, bound[n].index) for n in NAMES if n in filled), "") or entry_id
                traits = self._traits(grid, row, filled, code, reader)
                self.entries[entry_id] = Equipment(entry_id, name[:LONGEST_NAME], traits)

    def _with_method(self, grid: Grid, header: int, bound: dict[str, Bound]) -> dict[str, Bound]:
        """With the column whose cells all name a method, such as 'Type' in a list of dimmers. It is told."""
        column = self.headings.columns.get("method")
        taken = {found.index for found in bound.values()}
        if column is None or column.name in bound:
            return bound
        reader = CellReader(self.vocabulary, self.headings.units)
        for index in range(min(len(grid.rows[header]), limits.COLUMNS)):
            found = Bound(index, column, grid.text(header, index), "")
            texts = {grid.text(row, index) for row in range(header + 1, len(grid.rows))} - {""}
            is_free = found.heading and index not in taken
            if is_free and texts and all(_reads(reader, text, found) for text in texts):
                self._guessed[found.heading] = f"{column.label}, since that is what stands below it"
                return {**bound, column.name: found}
        return bound

    def _is_sound(self, entry_id: str, where: Origin) -> bool:
        if len(entry_id) > LONGEST_ID or not entry_id.isprintable():
            what = f"{shown(entry_id)} is no type code"
            self.faults.append(
                Fault(what, where, f"A code has at most {LONGEST_ID} characters", "Shorten it")
            )
            return False
        first = self._first.setdefault(entry_id, where)
        if first is not where:
            what = f"the code {shown(entry_id)} stands twice, first in {first.text()}"
            self.faults.append(Fault(what, where, "A code names one type", "Give one of them another code"))
            return False
        return True

    def _traits(
        self, grid: Grid, row: int, filled: dict[str, Bound], code: Bound, reader: CellReader
    ) -> dict[str, Trait]:
        """What a row states; its description says only what no other cell does."""
        traits: dict[str, Trait] = {}
        for name, column in filled.items():
            if not column.column.traits or column.column.target in ("row", "circuit"):
                if name not in (*NAMES, *CODES) and column is not code:
                    self._left_out[column.heading] = None
                continue
            origin = grid.place(row, column.index, column.heading)
            flaw = grid.flaws.get((row, column.index))
            try:
                if flaw:
                    raise Unreadable(flaw.what, do=flaw.do)
                contents = reader.contents(grid.text(row, column.index), column)
            except Unreadable as error:
                self._unread.setdefault((column.heading, error.what), []).append(origin)
                continue
            for trait, content in contents.items():
                if f"{self.subject}.{trait}" in self.vocabulary.traits:
                    traits.setdefault(trait, Trait(content, origin=origin))
        if self.subject == "driver" and "description" in filled:
            column = filled["description"]
            origin = grid.place(row, column.index, column.heading)
            said = DescriptionReader(self.vocabulary).read(grid.text(row, column.index))
            for trait, content in said.items():
                traits.setdefault(trait, Trait(content, origin=origin))
        return traits

    def notes(self) -> Iterator[str]:
        """What was left out, guessed or not known, each told once."""
        if self._left_out:
            yield f"Left out: {', '.join(map(printable, self._left_out))}."
        for heading, nearest in self._guessed.items():
            yield f"The heading {shown(heading)} is read as {nearest}."
        for (_, what), places in self._unread.items():
            count = f", {len(places)} times" if len(places) > 1 else ""
            yield f"{places[0].text()}{count}: {what}; it is not known."
        if self._without_code:
            places = self._without_code
            rows = "row has" if len(places) == 1 else "rows have"
            yield f"{places[0].text()}: {len(places)} {rows} no type code and are left out."


def _reads(reader: CellReader, text: str, bound: Bound) -> bool:
    try:
        return bool(reader.contents(text, bound))
    except Unreadable:
        return False


def _file_mark(grid: Grid, header: int, columns: Iterable[Bound]) -> DecimalMark | None:
    """The decimal mark of the cells under columns of figures, where they settle it."""
    figures = [column for column in columns if column.column.unit]
    return decimal_mark(
        grid.text(row, column.index) for row in range(header + 1, len(grid.rows)) for column in figures
    )
