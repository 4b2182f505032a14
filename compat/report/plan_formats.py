"""A plan as CSV, plain text or one HTML page."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence

from compat.report.cells import GAP, fit, size_of
from compat.report.lines import SOFT, STRONG, Line, line, listed
from compat.report.page import LEAST_WIDTH, render_lines
from compat.report.plan_table import LEFT_OUT, Cell, PlanTable
from compat.report.template import template
from compat.report.words import clean

# A spreadsheet takes a cell that starts so for a formula.
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")
COLUMN_MOST, COLUMN_LEAST = 28, 6


def render_plan_csv(table: PlanTable) -> str:
    """The rows that have a place, header first; a text that a spreadsheet would run is marked."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(table.headings)
    writer.writerows([csv_cell(cell) for cell in row] for row in table.rows)
    return out.getvalue()


def csv_cell(cell: Cell) -> Cell:
    """The cell; a text that starts like a formula gets an apostrophe before it."""
    return f"'{cell}" if isinstance(cell, str) and cell.startswith(FORMULA_STARTS) else cell


def render_plan_text(table: PlanTable, width: int, colour: bool, ascii_only: bool = False) -> str:
    """The plan in lines of at most ``width`` cells (40 up)."""
    return render_lines(_lines(table, max(width, LEAST_WIDTH), ascii_only), width, colour)


def render_plan_html(table: PlanTable) -> str:
    """The plan as a page that needs nothing else; the same bytes for the same plan."""
    return template("plan.html.j2").render(table=table, left_out_headings=LEFT_OUT)


def _lines(table: PlanTable, width: int, ascii_only: bool) -> Iterator[Line]:
    yield line((table.title, STRONG), f": {table.schedule}")
    yield from (line(sentence, indent=2) for sentence in table.summary)
    for headings, rows in ((table.headings, table.rows), (LEFT_OUT, table.left_out)):
        if rows:
            yield line()
            yield from _grid(headings, rows, width, ascii_only)
    if not table.rows:
        yield line("No luminaire has a place.", indent=2)
    if table.notes:
        yield line()
        yield from listed("Notes", table.notes, 0)
    yield line((table.stamp, SOFT))


def _grid(
    headings: Sequence[str], rows: Sequence[Sequence[Cell]], width: int, ascii_only: bool
) -> Iterator[Line]:
    """Columns as wide as what they hold; where that is too wide the widest give way, then the last go."""
    texts = [[clean(str(cell)) for cell in row] for row in rows]
    sizes = [max(map(size_of, column)) for column in zip(headings, *texts, strict=True)]
    sizes[:-1] = [min(size, COLUMN_MOST) for size in sizes[:-1]]
    while sum(sizes) + GAP * (len(sizes) - 1) > width and max(sizes) > COLUMN_LEAST:
        sizes[sizes.index(max(sizes))] -= 1
    while sum(sizes) + GAP * (len(sizes) - 1) > width:
        sizes.pop()
    cut = "~" if ascii_only else "…"
    for number, row in enumerate([list(headings), *texts]):
        cells = (fit(text, size, cut) for text, size in zip(row, sizes, strict=False))
        yield Line((((" " * GAP).join(cells), "" if number else SOFT),), fixed=True)
