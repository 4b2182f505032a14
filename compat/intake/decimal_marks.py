"""The cell reader of a file, told of the mark that its texts write before decimals."""

from __future__ import annotations

from collections.abc import Sequence

from compat.intake.cell_values import CellReader
from compat.intake.figure_grammar import decimal_mark
from compat.intake.known_headings import KnownHeadings
from compat.intake.tables import Table


def cell_reader(tables: Sequence[Table], headings: KnownHeadings) -> CellReader:
    """A reader for the cells of a file; '1.250' is read by the mark that its other figures show."""
    mark = decimal_mark(
        table.grid.text(row, bound.index)
        for table in tables
        for bound in table.bound
        if bound.column.unit
        for row in range(table.header.last_row + 1, table.end)
    )
    return CellReader(headings.vocabulary, headings.units, mark)
