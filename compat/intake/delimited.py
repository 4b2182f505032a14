"""Delimited text files as grids: encoding and separator found, every cell kept as text."""

from __future__ import annotations

import codecs
import csv
import io
import itertools
import re
from collections.abc import Iterator

from compat.intake import limits
from compat.intake.cells import Grid, clean, printable
from compat.intake.header import names_in
from compat.intake.headings import Headings
from compat.model.faults import BadInput, Fault
from compat.model.values import Origin

SEPARATORS = (",", ";", "\t", "|")
_SEPARATOR_LINE = re.compile(r"sep=([,;|\t])(?:\r\n|\r|\n|$)", re.IGNORECASE)
_NOT_TEXT = re.compile(r"[\x00-\x08\x0e-\x1f\x7f]")
_KINDS = ((b"PK\x03\x04", "a workbook or zip file"), (b"%PDF", "a PDF file"),
          (b"\xd0\xcf\x11\xe0", "an old workbook"), (b"PAR1", "a Parquet file"))  # fmt: skip


def read_delimited(data: bytes, file: str, suffix: str, headings: Headings) -> tuple[list[Grid], list[str]]:
    """The file as one grid, with a note when its encoding had to be assumed.

    Raises BadInput when it is not text, a quote is not closed, or it has too many rows.
    """
    text, notes = decode(data, file)
    _check_lines(text, file)
    skipped = 0
    separators: tuple[str, ...] = ("\t",) if suffix == ".tsv" else SEPARATORS
    if found := _SEPARATOR_LINE.match(text):
        text, skipped, separators = text[found.end() :], 1, (found[1],)
    separator = max(separators, key=lambda mark: _score(text, mark, headings))
    rows: list[list[str]] = []
    numbers: list[int] = []
    for line, row in _records(text, separator, file, skipped):
        if len(rows) > limits.ROWS + limits.HEADER_SEARCH_ROWS:
            what = f"the file has more than {limits.ROWS} rows"
            raise BadInput([Fault(what, Origin(file), do="Split it into several files")])
        rows.append(row)
        numbers.append(line)

    def place(row: int, column: int, heading: str) -> Origin:
        key = f"column {printable(heading)}" if heading else f"column {column + 1}"
        return Origin(file, line=numbers[row], key=key)

    return [Grid(file, rows, numbers, place, delimited=True)], notes


def decode(data: bytes, file: str) -> tuple[str, list[str]]:
    """The text of a file, and a note when its encoding is assumed. Raises BadInput."""
    for start, kind in _KINDS:
        if data.startswith(start):
            do = "Give the file its right name, or export the schedule as CSV"
            raise BadInput([Fault(f"the file is {kind}, not text", Origin(file), do=do)])
    wide = data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE))
    if not wide and b"\x00" in data:
        line = data.count(b"\n", 0, data.index(b"\x00")) + 1
        raise _no_text(file, line)
    notes: list[str] = []
    try:
        text = data.decode("utf-16" if wide else "utf-8-sig")
    except UnicodeDecodeError:
        try:
            text = data.decode("cp1252")
        except UnicodeDecodeError as error:
            raise _no_text(file, data.count(b"\n", 0, error.start) + 1) from error
        notes.append(
            f"{file}: the text is not UTF-8 and is read as Windows-1252; check letters such as µ, Ω and é."
        )
    if found := _NOT_TEXT.search(text):
        raise _no_text(file, text.count("\n", 0, found.start()) + 1)
    return text, notes


def _check_lines(text: str, file: str) -> None:
    """A line of many thousand characters is no row of a schedule, and parting it takes memory."""
    for number, line in enumerate(io.StringIO(text, newline=None), start=1):
        if len(line) > limits.LINE_CHARACTERS:
            what = f"the line has more than {limits.LINE_CHARACTERS} characters"
            raise BadInput([Fault(what, Origin(file, line=number), do="Export the schedule again")])


def _no_text(file: str, line: int) -> BadInput:
    where = Origin(file, line=line)
    do = "Export the schedule as CSV with the encoding UTF-8"
    return BadInput([Fault("the file holds bytes that are not text", where, do=do)])


def _score(text: str, separator: str, headings: Headings) -> int:
    """How many columns the best of the first rows names when parted at a separator."""
    best = 0
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    try:
        for row in itertools.islice(reader, limits.HEADER_SEARCH_ROWS):
            texts = [clean(cell) for cell in row[: limits.COLUMNS]]
            best = max(best, len(names_in(texts, headings)))
    except csv.Error:
        # A wrong separator breaks quotes; the right one tells of the error when it is read.
        return best
    return best


def _records(text: str, separator: str, file: str, skipped: int) -> Iterator[tuple[int, list[str]]]:
    """Each row with the line it starts on. Raises BadInput at a quote that is not closed."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    line = 1 + skipped
    try:
        for row in reader:
            yield line, row
            line = reader.line_num + 1 + skipped
    except csv.Error as error:
        where = Origin(file, line=line)
        what = "a quoted cell that starts on this line is not closed, or has text after its quote"
        do = "Close the quote; write a quote inside a cell twice"
        raise BadInput([Fault(what, where, do=do)]) from error
