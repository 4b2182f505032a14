"""Reading a circuit schedule from a file, whatever its format."""

from __future__ import annotations

import hashlib
from collections.abc import Collection, Sequence
from pathlib import Path

from compat.intake import limits
from compat.intake.agreement import circuits_alike
from compat.intake.cell_values import CellReader
from compat.intake.cells import FaultList, Grid, printable
from compat.intake.delimited import read_delimited
from compat.intake.header import Header, bind_columns, find_header, no_heading
from compat.intake.headings import REQUIRED, Headings
from compat.intake.row_choice import merged_values, rows_to_read
from compat.intake.rows import Ids, RowReader
from compat.model.faults import BadInput, Fault, did_you_mean
from compat.model.files import open_ordinary
from compat.model.schedule import Schedule, ScheduleRow
from compat.model.values import Origin
from compat.model.vocabulary import Vocabulary

SUFFIXES: tuple[str, ...] = (".xlsx", ".csv", ".tsv", ".json", ".parquet")
SCHEDULE_SHEET = "circuits"


def read_schedule(
    path: Path,
    vocabulary: Vocabulary,
    driver_ids: Collection[str],
    output_ids: Collection[str],
    sheet: str | None = None,
) -> Schedule:
    """Read a schedule; every value carries the cell, line or key it was written in.

    The columns are circuit and quantity, which must be there, room, luminaire type, driver and
    output, every trait of a driver, and the traits of a circuit that stand in a column. Figures are
    in the unit of the heading, or of the trait when the heading has none. An empty cell and ``?``
    are not known and are left out of the row. A list of dimming methods always includes
    ``switched``. ``sheet`` names a sheet of a workbook.

    Raises BadInput with all faults of the file.
    """
    file = printable(path.name or str(path))
    data = _bytes(path, file)
    headings = Headings(vocabulary)
    grids, notes = _grids(data, file, path.suffix.lower(), sheet, headings)
    grid, header = _chosen(grids, headings, file, sheet)
    faults = FaultList(file)
    bound = bind_columns(grid, header, headings, faults, notes)
    if not {column.column.name for column in bound}.issuperset(REQUIRED):
        faults.raise_if_any()
    chosen = rows_to_read(grid, header, bound, faults, notes)
    if len(chosen) > limits.ROWS:
        what = f"the schedule has more than {limits.ROWS} rows"
        raise BadInput([Fault(what, Origin(file, grid.sheet), do="Split it into several files")])
    ids = {"driver": Ids("driver", driver_ids), "output": Ids("output", output_ids)}
    cells = CellReader(vocabulary, headings.units)
    merged = merged_values(grid, chosen, bound, notes)
    reader = RowReader(grid, bound, cells, ids, merged, faults)
    rows = [row for row in map(reader.read, chosen) if row is not None]
    faults.raise_if_any()
    if not rows:
        do = "Write one row for each luminaire type on a circuit"
        what = "there are headings but no rows below them"
        raise BadInput([Fault(what, Origin(file, grid.sheet), do=do)])
    notes += _notes(reader, rows)
    return Schedule(file, hashlib.sha256(data).hexdigest(), tuple(rows), tuple(notes))


def _bytes(path: Path, file: str) -> bytes:
    """The bytes of a file of an allowed kind and size. Raises BadInput."""

    def bad(what: str, allowed: str = "", do: str = "") -> BadInput:
        return BadInput([Fault(what, Origin(file), allowed, do)])

    allowed = "Allowed: " + ", ".join(SUFFIXES)
    try:
        if not path.exists():
            near = did_you_mean(file, _neighbours(path))
            raise bad("there is no such file", do=near or "Check the name and the folder")
        if path.is_dir():
            raise bad("this is a folder, not a file", allowed, "Name the schedule inside it")
        if not path.is_file():
            raise bad("this is not an ordinary file", allowed, "Copy it to an ordinary file first")
        if path.suffix.lower() not in SUFFIXES:
            kind = printable(path.suffix) or "nothing"
            do = "Open it in a spreadsheet program and save it as .xlsx or .csv"
            raise bad(f"the name ends in {kind}, which is no format of a schedule", allowed, do)
        with open_ordinary(path) as stream:
            data = stream.read(limits.FILE_BYTES + 1)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise bad(f"the file cannot be read: {printable(reason)}") from error
    if len(data) > limits.FILE_BYTES:
        largest = f"At most {limits.FILE_BYTES // 1_000_000} MB"
        raise bad("the file is too large for a schedule", largest, "Keep only the schedule in it")
    if not data.strip(b" \t\r\n\xef\xbb\xbf"):
        raise bad("the file is empty", do="'compat template' writes a schedule to fill in")
    return data


def _neighbours(path: Path) -> list[str]:
    if not path.parent.is_dir():
        return []
    return [entry.name for entry in path.parent.iterdir() if entry.suffix.lower() in SUFFIXES]


def _grids(
    data: bytes, file: str, suffix: str, sheet: str | None, headings: Headings
) -> tuple[list[Grid], list[str]]:
    """The grids of a file by its suffix; each reader is loaded only when it is needed."""
    if suffix == ".xlsx":
        from compat.intake.workbook import read_sheets

        return read_sheets(data, file, sheet)
    if sheet is not None:
        what = f"a {suffix} file has no sheets"
        raise BadInput([Fault(what, Origin(file), do="Leave --sheet out")])
    if suffix == ".json":
        from compat.intake.keyed import read_json

        return read_json(data, file)
    if suffix == ".parquet":
        from compat.intake.keyed import read_parquet

        return read_parquet(data, file)
    return read_delimited(data, file, suffix, headings)


def _chosen(grids: Sequence[Grid], headings: Headings, file: str, sheet: str | None) -> tuple[Grid, Header]:
    """The one sheet that is a schedule, or the one named Circuits. Raises BadInput."""
    if not any(grid.rows for grid in grids):
        do = "'compat template' writes a schedule to fill in"
        raise BadInput([Fault("there is no sheet with anything in it", Origin(file), do=do)])
    found = [(grid, find_header(grid, headings)) for grid in grids]
    schedules = [pair for pair in found if pair[1].is_schedule]
    if len(schedules) > 1:
        named = [pair for pair in schedules if str(pair[0].sheet).casefold() == SCHEDULE_SHEET]
        if len(named) == 1:
            return named[0]
        names = ", ".join(str(grid.sheet) for grid, _ in schedules)
        what = "more than one sheet is a schedule"
        do = "Name the one to read with --sheet, or call it Circuits"
        raise BadInput([Fault(what, Origin(file), f"Sheets: {names}", do)])
    if schedules:
        return schedules[0]
    best = max(found, key=lambda pair: len(pair[1].names), default=None)
    if best is None or not best[1].names:
        raise no_heading(file, grids[0].sheet if len(grids) == 1 else None)
    return best


def _notes(reader: RowReader, rows: Sequence[ScheduleRow]) -> list[str]:
    notes = circuits_alike(row.circuit for row in rows)
    if reader.formulas:
        first, count = reader.formulas[0].text(), len(reader.formulas)
        notes.append(
            f"{first}: formulas are read by their stored results ({count} in all); recalculate and "
            "save the workbook if they are not up to date."
        )
    if reader.fractions:
        notes.append(
            f"{reader.fractions[0].text()}: circuits are written as numbers with decimals, so 1.1 "
            "and 1.10 are the same; format the cells as text if they are not."
        )
    return notes
