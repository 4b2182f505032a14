"""Sheets of a workbook in the old binary format (XLS), read in a process of its own.

xlrd (BSD licence, pure Python, no dependencies) gives number formats, hidden rows, struck-out cells
and merged ranges of this format, which faster readers do not.
"""

from __future__ import annotations

import io
from typing import Any

from compat.intake.cells import DATE_FLAW, Flaw, Merge, shown, to_text
from compat.intake.child import Refused, packed, read_in_child, unpacked
from compat.intake.number_format import number_text
from compat.intake.raw_sheet import RawSheet, TooLarge
from compat.model.faults import Fault
from compat.model.values import Origin

_SAVE_AGAIN = "Open it in a spreadsheet program and save it again as .xlsx"
_ENCRYPTED_STREAM = "EncryptedPackage".encode("utf-16-le")


def read_old_workbook(data: bytes, file: str) -> list[RawSheet]:
    """The sheets, hidden ones too. Raises BadInput when the workbook is damaged or encrypted."""
    do = "Open it, take the password off and save it again as .xlsx"
    protected = Fault("the workbook is encrypted with a password", Origin(file), do=do)
    damaged = Fault("the workbook is damaged or is not a workbook", Origin(file), do=_SAVE_AGAIN)
    answer = read_in_child("xls", data, file, protected if _ENCRYPTED_STREAM in data else damaged)
    return [_raw_sheet(sheet) for sheet in answer]


def _raw_sheet(sheet: dict[str, Any]) -> RawSheet:
    raw = RawSheet(sheet["name"], sheet["hidden"], too_large=sheet["too_large"])
    raw.cells = {row: {column: unpacked(text) for column, text in cells} for row, cells in sheet["cells"]}
    raw.last_column = max((column for cells in raw.cells.values() for column in cells), default=-1)
    raw.flaws = {(row, column): Flaw(what, do) for row, column, what, do in sheet["flaws"]}
    raw.struck = {(row, column) for row, column in sheet["struck"]}
    raw.hidden_rows, raw.hidden_columns = set(sheet["hidden_rows"]), set(sheet["hidden_columns"])
    raw.merges = [Merge(*merge) for merge in sheet["merges"]]
    return raw


def workbook_data(data: bytes) -> list[dict[str, Any]]:
    """In the child: every sheet as plain data. Raises Refused, or whatever a damaged file causes."""
    import xlrd  # type: ignore[import-untyped]

    try:
        book = xlrd.open_workbook(file_contents=data, formatting_info=True, logfile=io.StringIO())
    except xlrd.XLRDError as error:
        if "encrypted" in str(error).lower():
            do = "Open it, take the password off and save it again as .xlsx"
            raise Refused("the workbook is encrypted with a password", "", do) from error
        raise
    return [_sheet_data(sheet, book) for sheet in book.sheets()]


def _sheet_data(sheet: Any, book: Any) -> dict[str, Any]:
    raw = RawSheet(sheet.name, sheet.visibility != 0)
    try:
        for row in range(sheet.nrows):
            for column in range(sheet.row_len(row)):
                cell = sheet.cell(row, column)
                if cell.ctype not in (0, 6):
                    _keep(raw, row, column, cell, book)
    except TooLarge as error:
        raw.too_large = str(error)
    hidden_rows = [row for row, info in sheet.rowinfo_map.items() if info.hidden]
    hidden_columns = [column for column, info in sheet.colinfo_map.items() if info.hidden]
    return {
        "name": raw.name, "hidden": raw.is_hidden, "too_large": raw.too_large,
        "cells": [[row, [[column, packed(text)] for column, text in cells.items()]]
                  for row, cells in raw.cells.items()],
        "flaws": [[row, column, flaw.what, flaw.do] for (row, column), flaw in raw.flaws.items()],
        "struck": sorted(raw.struck), "hidden_rows": hidden_rows, "hidden_columns": hidden_columns,
        "merges": [[top, left, bottom - 1, right - 1] for top, bottom, left, right in sheet.merged_cells],
    }  # fmt: skip


def _keep(raw: RawSheet, row: int, column: int, cell: Any, book: Any) -> None:
    style = book.xf_list[cell.xf_index]
    text: str | Flaw
    if cell.ctype == 2:
        text = number_text(repr(cell.value), book.format_map[style.format_key].format_str)
    elif cell.ctype == 3:
        text = DATE_FLAW
    elif cell.ctype == 5:
        import xlrd

        what = f"the cell holds the error {shown(xlrd.error_text_from_code.get(cell.value, '#ERR'))}"
        text = Flaw(what, "Mend the formula, or write the value itself")
    else:
        text = to_text(bool(cell.value) if cell.ctype == 4 else cell.value)
    raw.add(row, column, "?" if isinstance(text, Flaw) else text)
    if isinstance(text, Flaw):
        raw.flaws[row, column] = text
    if book.font_list[style.font_index].struck_out:
        raw.struck.add((row, column))
