"""Finding the heading row below title rows, and the columns under it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from compat.intake import limits
from compat.intake.cells import FaultList, Grid, Unreadable, clean, printable, shown
from compat.intake.headings import REQUIRED, Bound, Headings
from compat.model.faults import BadInput, Fault
from compat.model.values import Origin


@dataclass(frozen=True, slots=True)
class Header:
    """The heading row: the index of its last row, its texts, and which columns it has."""

    last_row: int
    texts: tuple[str, ...]
    names: frozenset[str]

    @property
    def is_schedule(self) -> bool:
        """Whether the columns are there without which nothing can be read."""
        return self.names.issuperset(REQUIRED)


def find_header(grid: Grid, headings: Headings) -> Header:
    """The row among the first thirty that names most columns; the first of equals."""
    best = Header(0, (), frozenset())
    last = 1 if grid.keyed else limits.HEADER_SEARCH_ROWS
    for index, row in enumerate(grid.rows[:last]):
        texts = tuple(clean(text) for text in row[: limits.COLUMNS])
        names = names_in(texts, headings)
        if len(names) > len(best.names):
            best = Header(index, texts, names)
    for top in (best.last_row, best.last_row - 1):
        if any(merge.top == top and merge.bottom == top + 1 for merge in grid.merges):
            return _in_two_rows(grid, top, headings)
    return best


def names_in(texts: Sequence[str], headings: Headings) -> frozenset[str]:
    """The columns that a row of texts names."""
    found = (headings.recognised(text) for text in texts if text)
    return frozenset(column.name for column in found if column)


def _in_two_rows(grid: Grid, top: int, headings: Headings) -> Header:
    """Joins a heading in two rows, as merged cells show it: 'Inrush' above 'peak (A)'."""
    last = min(top + 1, len(grid.rows) - 1)
    width = min(max(len(grid.rows[top]), len(grid.rows[last])), limits.COLUMNS)
    upper = [grid.text(top, column) for column in range(width)]
    for merge in grid.merges:
        if merge.top == top == merge.bottom:
            for column in range(merge.left, min(merge.right + 1, width)):
                upper[column] = upper[merge.left]
    lower = [grid.text(last, column) if last > top else "" for column in range(width)]
    texts = tuple(_joined(*both, headings) for both in zip(upper, lower, strict=True))
    return Header(last, texts, names_in(texts, headings))


def _joined(upper: str, lower: str, headings: Headings) -> str:
    """Both texts, unless the upper is only a title over several known headings."""
    both = clean(f"{upper} {lower}")
    known = headings.recognised(both) is None and headings.recognised(lower) is not None
    return lower if known else both


def bind_columns(
    grid: Grid, header: Header, headings: Headings, faults: FaultList, notes: list[str]
) -> list[Bound]:
    """The columns to read, from left to right. Faults: unknown, doubled and missing headings."""
    bound: dict[str, Bound] = {}
    if any(map(clean, grid.rows[header.last_row][limits.COLUMNS :])):
        where = grid.place(header.last_row, limits.COLUMNS, "")
        what = f"the heading row has more than {limits.COLUMNS} columns"
        faults.add(Fault(what, where, do="Keep only the columns of the schedule"))
    for index, text in enumerate(header.texts):
        where = grid.place(header.last_row, index, text)
        if not text:
            _check_no_values(grid, header, index, faults)
        elif headings.is_total(text):
            notes.append(f"{where.text()}: the column {shown(text)} is a total and is not read.")
        elif not headings.is_ignored(text):
            try:
                found = headings.bind(index, text)
            except Unreadable as error:
                faults.add(error.fault(where))
                continue
            first = bound.setdefault(found.column.name, found)
            if first is not found:
                faults.add(_doubled(first, found, where))
            elif text.casefold().startswith("load") and found.column.name == "input_power_w":
                notes.append(f"{where.text()}: {shown(text)} is read as the power of one driver.")
    _check_required(grid, header, bound, faults)
    return sorted(bound.values(), key=lambda column: column.index)


def no_heading(file: str, sheet: str | None) -> BadInput:
    """The fault of a file or sheet in which no heading row is found."""
    allowed = f"One of the first {limits.HEADER_SEARCH_ROWS} rows holds the headings"
    do = "Name at least Circuit and Quantity; 'compat template' writes a schedule to fill in"
    return BadInput([Fault("no heading row was found", Origin(file, sheet), allowed, do)])


def _doubled(first: Bound, second: Bound, where: Origin) -> Fault:
    same = f"the headings {shown(first.heading)} and {shown(second.heading)}"
    return Fault(
        f"{same} name the same column, {first.column.label}",
        where,
        do="Keep one of them; put # before the heading of the other",
    )


def _check_no_values(grid: Grid, header: Header, index: int, faults: FaultList) -> None:
    for row in range(header.last_row + 1, len(grid.rows)):
        if grid.text(row, index):
            what = "the cell has a value but its column has no heading"
            do = "Give the column a heading, or empty its cells"
            faults.add(Fault(what, grid.place(row, index, ""), do=do))
            return


def _check_required(grid: Grid, header: Header, bound: dict[str, Bound], faults: FaultList) -> None:
    for name in REQUIRED:
        if name not in bound:
            found = ", ".join(printable(text) for text in header.texts if text)
            what = f"the column {name.capitalize()} is missing"
            faults.add(
                Fault(
                    what,
                    Origin(grid.file, grid.sheet),
                    f"Headings found: {found}",
                    f"Add a column with the heading {name.capitalize()}",
                )
            )
