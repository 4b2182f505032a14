"""A sheet as a reader of workbooks gives it, and the grid made of it: shared by XLSX, ODS and XLS."""

from __future__ import annotations

from dataclasses import dataclass, field

from compat.intake import limits
from compat.intake.cells import Flaw, Grid, Merge, column_letters, printable
from compat.model.values import Origin


class TooLarge(Exception):
    """A sheet that no schedule is; the text says why."""


@dataclass(slots=True)
class RawSheet:
    """Cells by row and column index from 0, and what is known of them besides their text.

    ``struck`` holds the cells whose whole text is struck out; ``too_large`` a sentence, empty when
    the sheet is not too large.
    """

    name: str = ""
    is_hidden: bool = False
    cells: dict[int, dict[int, str]] = field(default_factory=dict)
    flaws: dict[tuple[int, int], Flaw] = field(default_factory=dict)
    formulas: set[tuple[int, int]] = field(default_factory=set)
    struck: set[tuple[int, int]] = field(default_factory=set)
    hidden_rows: set[int] = field(default_factory=set)
    hidden_columns: set[int] = field(default_factory=set)
    merges: list[Merge] = field(default_factory=list)
    too_large: str = ""
    last_column: int = -1
    text_bytes: int = 0

    def add(self, row: int, column: int, text: str) -> None:
        """Keep a cell. Raises TooLarge past the limits of a sheet."""
        line = self.cells.get(row)
        if line is None:
            if len(self.cells) >= limits.ROWS + limits.HEADER_SEARCH_ROWS:
                raise TooLarge(f"the sheet has more than {limits.ROWS} rows")
            line = self.cells[row] = {}
        line[column] = text
        self.last_column = max(self.last_column, column)
        self.text_bytes += len(text)
        if (row + 1) * (self.last_column + 1) > limits.SHEET_CELLS:
            raise TooLarge(
                f"the sheet reaches to row {row + 1} and column {self.last_column + 1}, more than "
                f"{limits.SHEET_CELLS} cells"
            )
        if self.text_bytes > limits.UNPACKED_BYTES:
            raise TooLarge("the sheet holds too much text")


def grid_of(raw: RawSheet, file: str) -> Grid:
    """The grid of a sheet, cut to the rows and columns that hold anything; places stay true."""
    used = [row for row, cells in raw.cells.items() if cells]
    top = min(used, default=0)
    left = min((min(raw.cells[row]) for row in used), default=0)
    width = raw.last_column + 1 - left
    rows: list[list[str]] = []
    for row in range(top, max(used, default=-1) + 1):
        line = [""] * (max(cells) + 1 - left if (cells := raw.cells.get(row)) else 0)
        for column, text in (cells or {}).items():
            line[column - left] = text
        rows.append(line)
    sheet = printable(raw.name)

    def place(row: int, column: int, heading: str) -> Origin:
        return Origin(file, sheet, f"{column_letters(column + left)}{row + top + 1}")

    grid = Grid(file, rows, range(top + 1, top + 1 + len(rows)), place, sheet)
    grid.flaws = {(row - top, column - left): flaw for (row, column), flaw in raw.flaws.items()}
    grid.formulas = {(row - top, column - left) for row, column in raw.formulas}
    grid.hidden_rows = {row - top for row in raw.hidden_rows}
    grid.hidden_columns = {column - left for column in raw.hidden_columns}
    grid.struck = {(row - top, column - left) for row, column in raw.struck}
    for merge in raw.merges:
        bottom, right = min(merge.bottom - top, len(rows) - 1), min(merge.right - left, width - 1)
        if 0 <= merge.top - top <= bottom and 0 <= merge.left - left <= right:
            grid.merges.append(Merge(merge.top - top, merge.left - left, bottom, right))
    return grid
