"""Sheets of a workbook as grids of text."""

from __future__ import annotations

import io
from collections.abc import Callable, Sequence
from typing import Any

import python_calamine as calamine

from compat.intake.cells import Grid, Merge, column_letters, flaw_of, printable, to_text
from compat.intake.package import Package
from compat.intake.sheet_scan import SheetFacts, scan_sheet, shared_text_lengths, sheet_parts
from compat.model.faults import BadInput, Fault, did_you_mean
from compat.model.values import Origin

_SAVE_AGAIN = "Open it in a spreadsheet program and save it again as .xlsx"


def read_sheets(data: bytes, file: str, sheet: str | None) -> tuple[list[Grid], list[str]]:
    """The visible sheets, or the one asked for, with notes on what was left out.

    Raises BadInput when the workbook cannot be read, when the sheet asked for is not there, or
    when no sheet is left to read.
    """
    package = Package(data, file)
    parts = sheet_parts(package)
    book = _guarded(lambda: calamine.CalamineWorkbook.from_filelike(io.BytesIO(data)), package)
    sheets = book.sheets_metadata
    if len(sheets) != len(parts):
        raise package.bad("the workbook is damaged: its list of sheets does not fit", _SAVE_AGAIN)
    named = None if sheet is None else _named(sheet, [meta.name for meta in sheets], file)
    shared = shared_text_lengths(package)
    grids: list[Grid] = []
    notes: list[str] = []
    too_large: list[Fault] = []
    for index, meta in enumerate(sheets):
        if meta.typ != calamine.SheetTypeEnum.WorkSheet or named not in (None, index):
            continue
        where = Origin(file, printable(meta.name))
        if meta.visible != calamine.SheetVisibleEnum.Visible and named is None:
            notes.append(f"{where.text()}: the sheet is hidden and is not read.")
            continue
        facts = scan_sheet(package, parts[index], shared)
        if facts.too_large:
            do = "Copy the schedule alone into a new workbook"
            too_large.append(Fault(facts.too_large, where, do=do))
            continue
        number = index
        cells = _guarded(lambda: book.get_sheet_by_index(number), package)  # noqa: B023
        grids.append(_grid(cells, where, facts))
    if too_large and not grids:
        raise BadInput(too_large)
    notes += [f"{fault.where.text()}: {fault.what}; it is not read." for fault in too_large]
    return grids, notes


def _guarded(read: Callable[[], Any], package: Package) -> Any:
    """A call into the reader; whatever it raises, a panic of its own included, is bad input."""
    try:
        return read()
    except (KeyboardInterrupt, SystemExit, MemoryError):
        raise
    except calamine.PasswordError as error:
        do = "Open it, take the password off and save it again as .xlsx"
        raise package.bad("the workbook is protected by a password", do) from error
    except BaseException as error:
        what = f"the workbook cannot be read ({printable(str(error))[:120]})"
        raise package.bad(what, _SAVE_AGAIN) from error


def _named(sheet: str, names: Sequence[str], file: str) -> int:
    for wanted, known in ((sheet, names), (sheet.casefold(), [n.casefold() for n in names])):
        if wanted in known:
            return known.index(wanted)
    allowed = "Sheets: " + ", ".join(map(printable, names))
    what = f"the workbook has no sheet '{printable(sheet)}'"
    raise BadInput([Fault(what, Origin(file), allowed, did_you_mean(sheet, names))])


def _grid(cells: calamine.CalamineSheet, where: Origin, facts: SheetFacts) -> Grid:
    top, left = cells.start or (0, 0)
    values = cells.to_python(skip_empty_area=True)
    rows = [[to_text(value) for value in row] for row in values]

    def place(row: int, column: int, heading: str) -> Origin:
        cell = f"{column_letters(column + left)}{row + top + 1}"
        return Origin(where.file, where.sheet, cell)

    grid = Grid(
        where.file, rows, range(top + 1, top + 1 + len(rows)), place, where.sheet,
        flaws={(row - top, column - left): flaw for (row, column), flaw in facts.flaws.items()},
        formulas={(row - top, column - left) for row, column in facts.formulas},
        hidden_rows={row - top for row in facts.hidden_rows},
        hidden_columns={column - left for column in facts.hidden_columns},
    )  # fmt: skip
    for row_index, row in enumerate(rows):
        for column, text in enumerate(row):
            if type(text) is not str and (flaw := flaw_of(text)):
                grid.flaws[row_index, column] = flaw
    for (first, start), (last, end) in cells.merged_cell_ranges or ():
        bottom = min(last - top, len(rows) - 1)
        if 0 <= first - top <= bottom and start >= left:
            grid.merges.append(Merge(first - top, start - left, bottom, end - left))
    return grid
