"""A file as grids of text, by what is in it and not by what its name says."""

from __future__ import annotations

import hashlib
import stat
from dataclasses import dataclass
from pathlib import Path

from compat.intake import limits
from compat.intake.cells import Grid, printable
from compat.intake.headings import Headings
from compat.intake.known_headings import KnownHeadings
from compat.model.faults import BadInput, Fault, did_you_mean
from compat.model.files import open_ordinary
from compat.model.values import Origin

SUFFIXES: tuple[str, ...] = (
    ".xlsx", ".xlsm", ".xls", ".ods", ".csv", ".tsv", ".txt", ".json", ".parquet",
)  # fmt: skip
_KINDS = (
    (b"PK\x03\x04", "xlsx", "a workbook"),
    (b"\xd0\xcf\x11\xe0", "xls", "a workbook of the old format"),
    (b"PAR1", "parquet", "a Parquet file"),
)
_OF_SUFFIX = {".xlsx": "xlsx", ".xlsm": "xlsx", ".ods": "xlsx", ".xls": "xls", ".json": "json",
              ".parquet": "parquet"}  # fmt: skip
_PAGES = (b"<html", b"<!doctype", b"<table", b"<?xml", b"{\\rtf")
_SPREADSHEET = "Open it in a spreadsheet program and save it as .xlsx or .csv"


@dataclass(frozen=True, slots=True)
class Source:
    """A file as read: its name, its sum, its grids and what is worth telling of it."""

    file: str
    sha256: str
    grids: tuple[Grid, ...]
    notes: tuple[str, ...]


def read_source(path: Path, headings: KnownHeadings, sheet: str | None = None) -> Source:
    """The grids of a file; each reader is loaded only when it is needed.

    ``sheet`` names a sheet that is read though it be hidden. Raises BadInput.
    """
    file = printable(path.name or str(path))
    data = _bytes(path, file)
    suffix = path.suffix.lower()
    kind, notes = _kind(data, suffix, file)
    if kind in ("xlsx", "xls"):
        from compat.intake.workbook import read_sheets

        grids, more = read_sheets(data, file, kind, sheet)
    elif sheet is not None:
        what = f"a {suffix} file has no sheets"
        raise BadInput([Fault(what, Origin(file), do="Leave --sheet out")])
    elif kind == "json":
        from compat.intake.keyed import read_json

        grids, more = read_json(data, file)
    elif kind == "parquet":
        from compat.intake.keyed import read_parquet

        grids, more = read_parquet(data, file)
    else:
        from compat.intake.delimited import read_delimited

        grids, more = read_delimited(data, file, suffix, headings)
    return Source(file, hashlib.sha256(data).hexdigest(), tuple(grids), (*notes, *more))


def grids_of(path: Path, headings: Headings) -> list[Grid]:
    """The sheets of a workbook or the one table of a text file, as of a list. Raises BadInput."""
    return list(read_source(path, KnownHeadings(headings)).grids)


def _kind(data: bytes, suffix: str, file: str) -> tuple[str, list[str]]:
    """What the file is, with a note when its name says something else. Raises BadInput."""
    head = data[:512].lstrip(b"\xef\xbb\xbf \t\r\n").lower()
    if head.startswith(_PAGES):
        raise BadInput([Fault("the file is a page or a document, no table", Origin(file), do=_SPREADSHEET)])
    said = _OF_SUFFIX.get(suffix, "text")
    for start, kind, words in _KINDS:
        if data.startswith(start):
            told = f"{file}: the file is {words}, whatever its name says, and is read as one."
            # A workbook that a password protects looks like one of the old format.
            same = said == kind or (kind == "xls" and said == "xlsx")
            return kind, [] if same else [told]
    if said in ("xlsx", "xls") and _is_text(data):
        return "text", [f"{file}: the file is plain text, whatever its name says, and is read as one."]
    return said, []


def _is_text(data: bytes) -> bool:
    return b"\x00" not in data and any(mark in data for mark in (b",", b";", b"\t", b"|")) and b"\n" in data


def _bytes(path: Path, file: str) -> bytes:
    """The bytes of a file of an allowed kind and size. Raises BadInput."""

    def bad(what: str, allowed: str = "", do: str = "") -> BadInput:
        return BadInput([Fault(what, Origin(file), allowed, do)])

    allowed = "Allowed: " + ", ".join(SUFFIXES)
    try:
        if not path.exists():
            near = did_you_mean(file, _neighbours(path))
            raise bad("there is no such file", do=near or "Check the name and the folder")
        mode = path.stat().st_mode
        if stat.S_ISDIR(mode):
            raise bad("this is a folder, not a file", allowed, "Name the schedule inside it")
        if not stat.S_ISREG(mode):
            raise bad("this is not an ordinary file", allowed, "Copy it to an ordinary file first")
        with open_ordinary(path) as stream:
            data = stream.read(limits.FILE_BYTES + 1)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise bad(f"the file cannot be read: {printable(reason)}") from error
    if path.suffix.lower() == ".pdf" or data.startswith(b"%PDF"):
        do = "Ask for the spreadsheet it was made from, or copy its table into a spreadsheet and save that"
        raise bad("the file is a PDF, which holds a picture of a table and not the table", allowed, do)
    if path.suffix.lower() not in SUFFIXES:
        kind = printable(path.suffix) or "nothing"
        raise bad(f"the name ends in {kind}, which is no format of a schedule", allowed, _SPREADSHEET)
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
