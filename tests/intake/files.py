"""Schedules made at run time, and reading them with the vocabulary of the checkout."""

from __future__ import annotations

import functools
import io
import zipfile
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any, TypeVar

import xlsxwriter  # type: ignore[import-untyped]

from compat.intake.read import read_schedule
from compat.model.faults import BadInput
from compat.model.schedule import Schedule
from compat.model.vocabulary import Vocabulary, read_vocabulary

ROOT = Path(__file__).resolve().parents[2]
DRIVERS = ("D0001", "D0002", "D0103")
OUTPUTS = ("O0001", "O0002")


@functools.cache
def vocabulary() -> Vocabulary:
    return read_vocabulary(ROOT / "datasets" / "vocabulary")


def read(path: Path, sheet: str | None = None) -> Schedule:
    return read_schedule(path, vocabulary(), DRIVERS, OUTPUTS, sheet)


def sentences(path: Path, sheet: str | None = None) -> list[str]:
    """The faults of a file as the user sees them; a file that is read gives none."""
    try:
        read(path, sheet)
    except BadInput as error:
        return [fault.sentence() for fault in error.faults]
    return []


def notes(path: Path) -> list[str]:
    """What is told of a file that is read."""
    return list(read(path).notes)


def write_csv(path: Path, text: str, encoding: str = "utf-8") -> Path:
    path.write_bytes(text.encode(encoding))
    return path


T = TypeVar("T")
E = TypeVar("E", bound=Exception)


def outcome(call: Callable[[], T], error: type[E]) -> T | E:
    """What a call gives back, or the error of one kind that it raises."""
    try:
        return call()
    except error as raised:
        return raised


Fill = Callable[[Any, Any], object]


def write_xlsx(path: Path, sheets: dict[str, Sequence[Sequence[Any]]], fill: Fill | None = None) -> Path:
    """A workbook of rows; ``fill`` may then write more into the workbook and its first sheet."""
    with xlsxwriter.Workbook(path) as book:
        made = [book.add_worksheet(name) for name in sheets]
        for sheet, rows in zip(made, sheets.values(), strict=True):
            for index, row in enumerate(rows):
                sheet.write_row(index, 0, row)
        if fill:
            fill(book, made[0])
    return path


def with_part(path: Path, part: str, content: bytes) -> Path:
    """The same workbook with one part replaced or added."""
    old = path.read_bytes()
    made = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(old)) as source,
        zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as target,
    ):
        for name in source.namelist():
            if name != part:
                target.writestr(name, source.read(name))
        target.writestr(part, content)
    path.write_bytes(made.getvalue())
    return path


def sheet_xml(rows: str) -> bytes:
    """A sheet's XML around its rows."""
    space = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
    return f'<worksheet xmlns="{space}"><sheetData>{rows}</sheetData></worksheet>'.encode()
