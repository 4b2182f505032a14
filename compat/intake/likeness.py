"""Columns whose heading is not known but whose cells look like circuits or quantities.

They are never read as such; they stop the file where reading it without them would mislead.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import NamedTuple

from compat.intake.heading_values import are_colour_temperatures
from compat.intake.row_words import has_word
from compat.intake.tables import CODE_COLUMNS, Table
from compat.model.values import Origin

_CIRCUIT = re.compile(r"[A-Za-z]{1,4}[-./ ]?[0-9]{1,4}[A-Za-z]?")
_COUNT = re.compile(r"[1-9][0-9]{0,2}")


class Like(NamedTuple):
    """An unknown column and the name of the column it looks like."""

    heading: str
    place: Origin
    name: str


def circuit_like(table: Table) -> Like | None:
    """An unknown column whose cells are nearly all written as circuits are, no two alike; or whose heading
    speaks of circuits.
    """
    for heading, place, cells in _unknown(table):
        if has_word("circuit", heading) and not are_colour_temperatures(cells):
            return Like(heading, place, "circuit")
        like = [cell for cell in cells if _CIRCUIT.fullmatch(cell)]
        # A total or a spare may stand among them.
        if 1 < len(like) == len(set(like)) and 3 * len(like) >= 2 * len(cells):
            return Like(heading, place, "circuit")
    return None


def quantity_like(table: Table) -> Like | None:
    """An unknown column of small whole numbers that do not just count the rows."""
    for heading, place, cells in _unknown(table):
        counted = [str(number) for number in range(1, len(cells) + 1)]
        if all(map(_COUNT.fullmatch, cells)) and cells != counted:
            return Like(heading, place, "quantity")
    return None


def is_list_of_types(table: Table) -> bool:
    """Whether no luminaire type stands in two rows, as in a list of types and not of places."""
    bound = next((found for name in CODE_COLUMNS if (found := table.column(name))), None)
    if bound is None:
        return True
    rows = range(table.header.last_row + 1, table.end)
    codes = [text for row in rows if (text := table.grid.text(row, bound.index))]
    return len(set(codes)) == len(codes)


def _unknown(table: Table) -> Iterator[tuple[str, Origin, list[str]]]:
    """Heading, place and cells of each unknown column that is filled in most rows."""
    grid, header = table.grid, table.header
    known = {bound.index for bound in table.bound} | table.ignored
    rows = range(header.last_row + 1, table.end)
    filled = sum(bool(grid.text(row, table.bound[0].index)) for row in rows)
    for index, text in enumerate(header.texts):
        if text and index not in known and not text.startswith("#"):
            cells = [cell for row in rows if (cell := grid.text(row, index))]
            if len(cells) > 1 and 2 * len(cells) >= filled:
                yield text, grid.place(header.last_row, index, text), cells
