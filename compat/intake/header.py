"""Finding heading rows: below titles, in one row or two, with a row of units, more than one a sheet."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from compat.intake import limits
from compat.intake.cells import Grid, clean
from compat.intake.headings import Column
from compat.intake.units import UnitTable

# So many columns a row below the first table must name to be the heading of another one.
LEAST_NAMES = 3
_NO_UNIT = frozenset(
    ("", "-", "--", "no", "nr", "nos", "n", "pc", "pcs", "stk", "st", "qty", "text",
     "u", "ud", "uds", "pz", "ea", "each", "stuks", "styck")
)  # fmt: skip


class Recogniser(Protocol):
    """What knows headings; where a table begins is never guessed."""

    units: UnitTable

    def surely(self, heading: str) -> Column | None:
        """The column of a heading that is known as it stands, None otherwise."""


@dataclass(frozen=True, slots=True)
class Header:
    """A heading: the indexes of its first and last row, its texts, and which columns it has."""

    first_row: int
    last_row: int
    texts: tuple[str, ...]
    names: frozenset[str]
    first_column: int = 0


def find_headers(grid: Grid, headings: Recogniser) -> list[Header]:
    """The headings of a sheet from top to bottom; none when no row names a column.

    The first is the row among the first forty that names most columns, and each row further down
    that names at least three by words of its own begins another table.
    """
    first = _best(grid, headings)
    if first is None:
        return []
    above = () if grid.keyed else range(first.first_row)
    found = [header for row in above if (header := _strong(grid, row, headings))]
    found.append(first)
    row = first.last_row + 1
    while row < len(grid.rows) and not grid.keyed:
        header = _strong(grid, row, headings)
        if header and not _repeats(header, found[-1]):
            found.append(header)
            row = header.last_row
        row += 1
    return [
        header
        for header, following in zip(found, [*found[1:], None], strict=True)
        if following is None or following.first_row > header.last_row + 1
    ]


def _repeats(header: Header, first: Header) -> bool:
    """Whether a heading further down is the one above again, as on a new page."""
    pairs = zip(header.texts, first.texts, strict=False)
    return all(not text or text == above for text, above in pairs) and len(header.texts) <= len(first.texts)


def names_in(texts: Sequence[str], headings: Recogniser) -> frozenset[str]:
    """The columns that a row of texts names."""
    found = (headings.surely(text) for text in texts if text)
    return frozenset(column.name for column in found if column)


def _best(grid: Grid, headings: Recogniser) -> Header | None:
    best: tuple[int, int] | None = None
    last = 1 if grid.keyed else limits.HEADER_SEARCH_ROWS
    for index in range(min(last, len(grid.rows))):
        count = len(names_in(_texts(grid, index), headings))
        if count and (best is None or count > best[0]):
            best = count, index
    return None if best is None else _header_at(grid, best[1], headings)


def _strong(grid: Grid, row: int, headings: Recogniser) -> Header | None:
    """A heading in a row that holds nearly nothing but headings."""
    texts = [text for text in _texts(grid, row) if text]
    if len(texts) < LEAST_NAMES or any(text[0].isdigit() for text in texts):
        return None
    known = [text for text in texts if headings.surely(text)]
    names = names_in(known, headings)
    if len(names) < LEAST_NAMES or 2 * len(known) < len(texts):
        return None
    return _header_at(grid, row, headings)


def _header_at(grid: Grid, row: int, headings: Recogniser) -> Header:
    """The heading that has this row: alone, or with the row above or below when both name more."""
    plain = _texts(grid, row)
    best = Header(row, row, plain, names_in(plain, headings))
    if grid.keyed:
        return best
    for top in (row, row - 1):
        if top < 0 or top + 1 >= len(grid.rows):
            continue
        texts = _in_two_rows(grid, top, headings)
        names = names_in(texts, headings)
        spans = any(merge.top == top and merge.bottom == top + 1 for merge in grid.merges[:2000])
        if len(names) > len(best.names) or (spans and names >= best.names and best.last_row == row):
            best = Header(top, top + 1, texts, names)
    return _with_units(grid, best, headings)


def _texts(grid: Grid, row: int) -> tuple[str, ...]:
    return tuple(clean(text) for text in grid.rows[row][: limits.COLUMNS])


def _in_two_rows(grid: Grid, top: int, headings: Recogniser) -> tuple[str, ...]:
    """Joins a heading in two rows: 'Inrush' above 'peak (A)' and 'width (us)'.

    The upper text holds for the columns of its merged range, or for those to its right that have a
    text in the lower row only.
    """
    width = min(max(len(grid.rows[top]), len(grid.rows[top + 1])), limits.COLUMNS)
    upper = [grid.text(top, column) for column in range(width)]
    lower = [grid.text(top + 1, column) for column in range(width)]
    merged = {m.left: m.right for m in grid.merges[:2000] if m.top == top == m.bottom and m.right > m.left}
    for left, right in merged.items():
        for column in range(left, min(right + 1, width)):
            upper[column] = upper[left]
    if not merged:
        for column in range(1, width):
            if not upper[column] and lower[column] and lower[column - 1]:
                upper[column] = upper[column - 1]
    return tuple(_joined(*both, headings) for both in zip(upper, lower, strict=True))


def _joined(upper: str, lower: str, headings: Recogniser) -> str:
    """Both texts, unless the upper is only a title over several known headings."""
    both = clean(f"{upper} {lower}")
    if not lower or headings.surely(both) is not None:
        return both
    return lower if headings.surely(lower) is not None else both


def _with_units(grid: Grid, header: Header, headings: Recogniser) -> Header:
    """The heading with the units of a row of units below it, put in brackets."""
    row = header.last_row + 1
    if row >= len(grid.rows):
        return header
    units = [re.sub(r"^[(\[]\s*|\s*[)\]]$", "", text) for text in _texts(grid, row)]
    filled = [unit for unit in units if unit]
    known = [unit for unit in filled if headings.units.name(unit) is not None]
    plain = all(unit in known or unit.casefold().rstrip(".") in _NO_UNIT for unit in filled)
    if not known or not plain:
        return header
    texts = list(header.texts)
    for column, unit in enumerate(units[: len(texts)]):
        text = f"{texts[column]} ({unit})"
        if unit in known and texts[column] and headings.surely(text) is not None:
            texts[column] = text
    return Header(header.first_row, row, tuple(texts), names_in(texts, headings))
