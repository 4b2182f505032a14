"""Which rows below the headings hold data, and what merged cells say in them."""

from __future__ import annotations

from collections.abc import Sequence

from compat.intake.cells import FaultList, Grid, shown
from compat.intake.header import Header
from compat.intake.heading_aliases import TOTAL_ROWS
from compat.intake.headings import REQUIRED, Bound, fold
from compat.model.faults import Fault

_TOTALS = frozenset(map(fold, TOTAL_ROWS))
Merged = dict[tuple[int, int], int]


def rows_to_read(
    grid: Grid, header: Header, bound: Sequence[Bound], faults: FaultList, notes: list[str]
) -> list[int]:
    """The indexes of the rows with data: not blank, no total, no repeated heading row.

    Adds a fault for each row with cells beyond the headings, and notes on rows left out.
    """
    chosen: list[int] = []
    hidden: list[int] = []
    for index in range(header.last_row + 1, len(grid.rows)):
        _check_length(grid, header, index, faults)
        if is_blank(grid, index, bound):
            continue
        number = grid.numbers[index]
        where = grid.place(index, bound[0].index, bound[0].heading).text()
        if all(grid.text(index, column.index) == column.heading for column in bound):
            notes.append(f"{where}: the row repeats the headings and is not read.")
        elif _is_total(grid, index, bound):
            notes.append(f"{where}: the row is a total and is not read.")
        else:
            chosen.append(index)
            hidden += [number] if index in grid.hidden_rows else []
    if hidden:
        notes.append(f"Hidden rows are read like the others: {_listed(hidden)}.")
    unseen = [shown(column.heading) for column in bound if column.index in grid.hidden_columns]
    if unseen:
        notes.append(f"Hidden columns are read like the others: {_listed(unseen)}.")
    return chosen


def is_blank(grid: Grid, index: int, bound: Sequence[Bound]) -> bool:
    """Whether a row states nothing. Formulas that show 0 are idle in rows not yet filled in."""
    for column in bound:
        flaw = grid.flaws.get((index, column.index))
        if flaw is None:
            if grid.text(index, column.index):
                return False
        elif not flaw.idle or column.column.name in REQUIRED:
            return False
    return True


def merged_values(grid: Grid, rows: Sequence[int], bound: Sequence[Bound], notes: list[str]) -> Merged:
    """For each cell below the first of a merged range, the row that holds the range's value.

    Quantities are left out: one number over two rows does not say how it is shared.
    """
    columns = {column.index: column for column in bound if column.column.name != "quantity"}
    read = set(rows)
    merged: Merged = {}
    for merge in grid.merges:
        column = columns.get(merge.left)
        below = [row for row in range(merge.top + 1, merge.bottom + 1) if row in read]
        if column is None or not below or not grid.text(merge.top, merge.left):
            continue
        merged.update({(row, merge.left): merge.top for row in below})
        first = grid.place(merge.top, merge.left, column.heading).text()
        text = shown(grid.text(merge.top, merge.left))
        last = grid.numbers[below[-1]]
        notes.append(f"{first}: merged down to row {last}; {text} is read in each of its rows.")
    return merged


def _check_length(grid: Grid, header: Header, index: int, faults: FaultList) -> None:
    width = len(header.texts)
    if not grid.delimited or len(grid.rows[index]) <= width:
        return
    extra = [column for column in range(width, len(grid.rows[index])) if grid.text(index, column)]
    if extra:
        what = f"the row has {len(grid.rows[index])} cells, but there are {width} headings"
        do = "Put a cell that holds the separator in quotes, or remove the extra cells"
        faults.add(Fault(what, grid.place(index, extra[0], ""), do=do))


def _is_total(grid: Grid, index: int, bound: Sequence[Bound]) -> bool:
    texts = [grid.text(index, column.index) for column in bound]
    first = next((text for text in texts if text), "")
    circuit = next(c.index for c in bound if c.column.name == "circuit")
    return fold(first) in _TOTALS and grid.text(index, circuit) in ("", first)


def _listed(items: Sequence[object]) -> str:
    more = f" and {len(items) - 10} more" if len(items) > 10 else ""
    return ", ".join(map(str, items[:10])) + more
