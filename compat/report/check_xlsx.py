"""A check as a workbook: the user's own back with columns for the answer, and sheets of what was found."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING, Any

from compat.model.faults import BadInput, Fault
from compat.model.report import CircuitReport, Finding, Report
from compat.model.values import Origin
from compat.report.check_rows import HEADINGS, check_rows, circuit_row
from compat.report.words import clean

if TYPE_CHECKING:
    from openpyxl.workbook import Workbook
    from openpyxl.worksheet.worksheet import Worksheet

ADDED = ("verdict", "expected", "why", "change", "ask")
CELL = re.compile(r"([A-Z]{1,3})([0-9]{1,7})")
MOST_WIDTH, LEAST_WIDTH = 60, 9
# The time that a ZIP archive can say at the earliest, so that two runs give the same bytes.
NO_TIME = (1980, 1, 1, 0, 0, 0)
MODIFIED = re.compile(rb"(<dcterms:(?:modified|created)[^>]*>)[^<]*(</dcterms:)")


def render_xlsx(report: Report, schedule: bytes | None) -> bytes:
    """The workbook ``schedule`` untouched but for five columns behind those of each sheet that was read,
    and with the sheets findings, needs and questions; these and one of the circuits where it is None.

    No text that this program writes is a formula. Pictures and macros of the workbook are not kept.
    Raises BadInput where the library that writes it is missing.
    """
    openpyxl = _library()
    if schedule is None:
        book: Workbook = openpyxl.Workbook()
        book.remove(book.active)
        _sheet(book, "circuits", HEADINGS, (row.cells() for row in check_rows(report)))
    else:
        book = openpyxl.load_workbook(io.BytesIO(schedule))
        _add_columns(book, report)
    findings = ("subject", "rule", "verdict", "why", "demand", "limit", "margin in %")
    _sheet(book, "findings", findings, _findings(report))
    _sheet(book, "needs", ("circuit", "an output must have", "rule"), _needs(report))
    _sheet(book, "questions", ("number", "about", "circuits", "question", "decides"), _questions(report))
    written = io.BytesIO()
    book.save(written)
    return _timeless(written.getvalue())


def _library() -> Any:
    try:
        import openpyxl
    except ImportError as error:
        do = "Install it: pip install 'lighting-control-compat[xlsx]'"
        what = "the format xlsx needs the library openpyxl, which is not installed"
        raise BadInput([Fault(what, Origin("--format"), do=do)]) from error
    return openpyxl


def _add_columns(book: Workbook, report: Report) -> None:
    """The answer beside every row of a circuit, in the sheet that the row was read from."""
    found: dict[str, list[tuple[int, CircuitReport]]] = {}
    for circuit in report.circuits:
        for row in circuit.luminaires:
            origin = row.place
            at = CELL.fullmatch(origin.cell) if origin and origin.cell else None
            if at and origin and origin.sheet and origin.sheet in book.sheetnames:
                found.setdefault(origin.sheet, []).append((int(at[2]), circuit))
    for name, rows in found.items():
        sheet = book[name]
        first = sheet.max_column + 1
        head = max(1, min(number for number, _ in rows) - 1)
        for place, heading in enumerate(ADDED):
            _write(sheet, head, first + place, heading, bold=True)
        for number, circuit in rows:
            told = circuit_row(circuit)
            for place, heading in enumerate(ADDED):
                _write(sheet, number, first + place, getattr(told, heading))


def _findings(report: Report) -> Iterator[tuple[object, ...]]:
    subjects = [(entry.circuit, entry.findings) for entry in report.circuits]
    subjects += [(f"line {entry.line}", entry.findings) for entry in report.lines]
    for name, findings in subjects:
        for finding in findings:
            if finding.verdict != "works":
                yield (name, finding.rule, finding.verdict, finding.because, *_amounts(finding))


def _amounts(finding: Finding) -> tuple[object, ...]:
    demand, limit = finding.demand, finding.limit
    margin = None if finding.margin_percent is None else round(finding.margin_percent, 1)
    return (demand.text if demand else "", limit.text if limit else "", margin)


def _needs(report: Report) -> Iterator[tuple[object, ...]]:
    for circuit in report.circuits:
        for need in circuit.needs:
            yield (circuit.circuit, need.text, need.rule)


def _questions(report: Report) -> Iterator[tuple[object, ...]]:
    for number, entry in enumerate(report.enquiries, 1):
        for question in entry.questions:
            yield (number, entry.about, ", ".join(entry.circuits), question.ask, question.decides)


def _sheet(book: Workbook, name: str, headings: Sequence[str], rows: Iterable[Sequence[object]]) -> None:
    """A new sheet; one of the user's of the same name stays, and ours gets a number."""
    sheet = book.create_sheet(name)
    for place, heading in enumerate(headings, 1):
        _write(sheet, 1, place, heading, bold=True)
    widths = [len(heading) for heading in headings]
    for number, row in enumerate(rows, 2):
        for place, value in enumerate(row, 1):
            _write(sheet, number, place, value)
            widths[place - 1] = max(widths[place - 1], len(str(value or "")))
    from openpyxl.utils import get_column_letter

    for place, width in enumerate(widths, 1):
        size = max(LEAST_WIDTH, min(MOST_WIDTH, width + 2))
        sheet.column_dimensions[get_column_letter(place)].width = size
    sheet.freeze_panes = "A2"


def _write(sheet: Worksheet, row: int, column: int, value: object, bold: bool = False) -> None:
    """A figure as a figure, and every other value as text, whatever it begins with."""
    if value is None or value == "":
        return
    from openpyxl.styles import Alignment, Font

    cell: Any = sheet.cell(row, column)
    if isinstance(value, int | float):
        cell.value = value
        return
    cell.value = clean(str(value))
    cell.data_type = "s"
    cell.quotePrefix = True
    cell.alignment = Alignment(vertical="top", wrap_text=not bold)
    if bold:
        cell.font = Font(bold=True)


def _timeless(data: bytes) -> bytes:
    """The workbook without the time at which it was written."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            content = old.read(name)
            if name == "docProps/core.xml":
                content = MODIFIED.sub(rb"\g<1>1980-01-01T00:00:00Z\g<2>", content)
            entry = zipfile.ZipInfo(name, NO_TIME)
            entry.compress_type = zipfile.ZIP_DEFLATED
            new.writestr(entry, content)
    return out.getvalue()
