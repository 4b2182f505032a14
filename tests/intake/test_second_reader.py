"""Cells as this project reads them against a second, independent reader of workbooks.

python-calamine (MIT licence) reads XLSX, XLS and ODS; it gives values without their number formats,
so the cells compared have none.
"""

from __future__ import annotations

import random
from pathlib import Path

import pytest
import python_calamine as calamine

from compat.intake.cells import to_text
from compat.intake.workbook import read_sheets
from tests.messy.makers import Make, book, old_book, open_book

WORDS = ("Circuit", "Küche", "a & b < c", "  two  spaces ", "0012", "µ Ω é", "-", "x" * 90)


def rows(seed: int) -> list[list[object]]:
    """Rows of texts, numbers and gaps; the first cell is filled, so that both begin at the same place."""
    chance = random.Random(seed)
    found: list[list[object]] = [["first", *WORDS]]
    for _ in range(40):
        kinds = (chance.choice(WORDS), chance.randrange(-50, 5000), round(chance.uniform(0, 900), 3), None)
        found.append([chance.choice(kinds) for _ in range(9)])
    return found


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize(("make", "kind"), [(book, "xlsx"), (old_book, "xls"), (open_book, "xlsx")])
def test_every_cell_is_the_same(tmp_path: Path, make: object, kind: str, seed: int) -> None:
    made: Make = make({"S": rows(seed)})  # type: ignore[operator]
    path = made(tmp_path)
    (grid,), _ = read_sheets(path.read_bytes(), path.name, kind, None)
    other = calamine.CalamineWorkbook.from_path(str(path)).get_sheet_by_index(0).to_python()
    texts = [[to_text(value).strip() for value in row] for row in other]
    ours = [[grid.text(row, column) for column in range(9)] for row in range(len(grid.rows))]
    assert [" ".join(text.split()) for row in texts for text in row] == [t for row in ours for t in row]
