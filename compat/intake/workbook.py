"""Sheets of a workbook as grids of text, whichever spreadsheet program wrote it."""

from __future__ import annotations

from collections.abc import Sequence

from compat.intake.cells import Grid, printable
from compat.intake.package import Package
from compat.intake.raw_sheet import RawSheet, grid_of
from compat.model.faults import BadInput, Fault, did_you_mean
from compat.model.values import Origin


def read_sheets(data: bytes, file: str, kind: str, sheet: str | None) -> tuple[list[Grid], list[str]]:
    """The visible sheets, and the one asked for though it be hidden, with notes on what was left out.

    ``kind`` is ``xlsx``, ``ods`` or ``xls``. Raises BadInput when the workbook cannot be read, when
    the sheet asked for is not there, or when no sheet is left to read.
    """
    raws = _raw_sheets(data, file, kind)
    named = None if sheet is None else _named(sheet, [raw.name for raw in raws], file)
    grids: list[Grid] = []
    notes: list[str] = []
    too_large: list[Fault] = []
    for index, raw in enumerate(raws):
        where = Origin(file, printable(raw.name))
        if raw.is_hidden and index != named:
            notes.append(f"{where.text()}: the sheet is hidden and is not read.")
        elif raw.too_large:
            do = "Copy the schedule alone into a new workbook"
            too_large.append(Fault(raw.too_large, where, do=do))
        else:
            grids.append(grid_of(raw, file))
    if too_large and not any(grid.rows for grid in grids):
        raise BadInput(too_large)
    notes += [f"{fault.where.text()}: {fault.what}; it is not read." for fault in too_large]
    return grids, notes


def _raw_sheets(data: bytes, file: str, kind: str) -> list[RawSheet]:
    """Each kind's reader is loaded only when it is needed."""
    if kind == "xls":
        from compat.intake.old_workbook import read_old_workbook

        return read_old_workbook(data, file)
    package = Package(data, file)
    if package.has("content.xml"):
        from compat.intake.open_document import read_open_document

        return read_open_document(package)
    from compat.intake.sheet_scan import cell_styles, scan_sheet, shared_texts, sheet_parts

    shared, styles = shared_texts(package), cell_styles(package)
    return [scan_sheet(package, part, shared, styles) for part in sheet_parts(package) if part.is_worksheet]


def _named(sheet: str, names: Sequence[str], file: str) -> int:
    for wanted, known in ((sheet, names), (sheet.casefold(), [n.casefold() for n in names])):
        if wanted in known:
            return known.index(wanted)
    allowed = "Sheets: " + ", ".join(map(printable, names))
    what = f"the workbook has no sheet '{printable(sheet)}'"
    raise BadInput([Fault(what, Origin(file), allowed, did_you_mean(sheet, names))])
