"""Workbooks that are damaged or made to do harm, and the sentence the user must see for each."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path

import pytest

from tests.intake.files import sentences, sheet_xml, with_part, write_xlsx

SHEET = "xl/worksheets/sheet1.xml"
HEAD = ["Circuit", "Qty", "Watts", "Room"]
ROW = ["C1", 6, 5.5, "Hall"]
SAVE_AGAIN = "Open it in a spreadsheet program and save it again as .xlsx."


def workbook(folder: Path) -> Path:
    return write_xlsx(folder / "h.xlsx", {"Circuits": [HEAD, ROW]})


def encrypted() -> bytes:
    return b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 600 + "EncryptedPackage".encode("utf-16-le")


@pytest.mark.parametrize(
    ("data", "expected"),
    [
        (b"hello", f"h.xlsx: the workbook is damaged or is not a workbook. {SAVE_AGAIN}"),
        (b"PK\x03\x04" + b"x" * 100, f"h.xlsx: the workbook is damaged or is not a workbook. {SAVE_AGAIN}"),
        (
            encrypted(),
            "h.xlsx: the workbook is encrypted with a password. Open it, take the password off and save "
            "it again as .xlsx.",
        ),
        (
            b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 600,
            f"h.xlsx: the workbook is damaged or is not a workbook. {SAVE_AGAIN}",
        ),
    ],
    ids=["text", "cut short", "encrypted", "old format"],
)
def test_what_is_no_workbook(tmp_path: Path, data: bytes, expected: str) -> None:
    (tmp_path / "h.xlsx").write_bytes(data)
    assert sentences(tmp_path / "h.xlsx") == [expected]


def test_a_zip_file_of_something_else(tmp_path: Path) -> None:
    with zipfile.ZipFile(tmp_path / "h.xlsx", "w") as package:
        package.writestr("readme.txt", "hello")
    assert sentences(tmp_path / "h.xlsx") == [
        f"h.xlsx: the file is a zip file but not a workbook. {SAVE_AGAIN}"
    ]


def test_a_flipped_byte(tmp_path: Path) -> None:
    path = workbook(tmp_path)
    data = bytearray(path.read_bytes())
    with zipfile.ZipFile(io.BytesIO(data)) as package:
        info = package.getinfo(SHEET)
    data[info.header_offset + 30 + len(SHEET) + 40] ^= 0xFF
    path.write_bytes(data)
    assert sentences(path) == [f"h.xlsx: the workbook is damaged or is not a workbook. {SAVE_AGAIN}"]


def test_every_cut_of_a_workbook_is_told_in_a_sentence(tmp_path: Path) -> None:
    path = workbook(tmp_path)
    data = path.read_bytes()
    for end in range(1, len(data), 173):
        path.write_bytes(data[:end])
        assert len(sentences(path)) == 1


@pytest.mark.parametrize(
    "content",
    [b"<worksheet><sheetData>", b'<?xml version="1.0" encoding="F-8"?><worksheet/>', b"\xff\xfe\x00", b""],
    ids=["cut short", "unknown encoding", "no XML", "empty"],
)
def test_damaged_xml(tmp_path: Path, content: bytes) -> None:
    path = with_part(workbook(tmp_path), SHEET, content)
    assert sentences(path) == [f"h.xlsx: the part {SHEET} of the workbook is damaged. {SAVE_AGAIN}"]


def test_entities_that_swell(tmp_path: Path) -> None:
    entity = b'<!DOCTYPE x [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;">]><worksheet><c><v>&b;</v></c></worksheet>'
    path = with_part(workbook(tmp_path), SHEET, entity)
    assert sentences(path) == [f"h.xlsx: the workbook declares a document type inside. {SAVE_AGAIN}"]


@pytest.mark.parametrize(
    ("parts", "size"), [(1, 12_000_000), (22, 9_900_000)], ids=["one part", "many parts"]
)
def test_a_workbook_that_swells(tmp_path: Path, parts: int, size: int) -> None:
    path = workbook(tmp_path)
    with zipfile.ZipFile(path, "a", zipfile.ZIP_DEFLATED) as package:
        for part in range(parts):
            package.writestr(f"xl/media/{part}", bytes(size))
    assert sentences(path) == [
        "h.xlsx: the workbook unpacks to far more than a schedule needs. At most 200 MB unpacked. Copy the "
        "schedule into a new workbook and save that."
    ]


def test_a_part_that_stands_twice(tmp_path: Path) -> None:
    path = workbook(tmp_path)
    with zipfile.ZipFile(path, "a") as package:
        package.writestr("XL/workbook.xml", b"")
    assert sentences(path) == [f"h.xlsx: the workbook holds a part twice. {SAVE_AGAIN}"]


STRAY = "Copy the schedule alone into a new workbook."


@pytest.mark.parametrize(
    ("rows", "what"),
    [
        (
            '<row r="1048576"><c r="XFD1048576"><v>1</v></c></row>',
            "the sheet reaches to row 1048576 and column 16384, more than 5000000 cells",
        ),
        ('<row r="1"><c r="ZZZZZ1"><v>1</v></c></row>', "the sheet has a cell with the address 'ZZZZZ1'"),
        (
            "".join(f'<row r="{row}"><c r="A{row}"><v>1</v></c></row>' for row in range(1, 100_100)),
            "the sheet has more than 100000 rows",
        ),
    ],
    ids=["last cell", "no address", "rows"],
)
def test_a_sheet_that_is_too_large(tmp_path: Path, rows: str, what: str) -> None:
    path = with_part(workbook(tmp_path), SHEET, sheet_xml(rows))
    assert sentences(path) == [f"h.xlsx, sheet Circuits: {what}. {STRAY}"]


def test_a_shared_text_used_in_too_many_cells(tmp_path: Path) -> None:
    space = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
    text = f'<sst xmlns="{space}"><si><t>{"long" * 8000}</t></si></sst>'.encode()
    path = with_part(workbook(tmp_path), "xl/sharedStrings.xml", text)
    cells = "".join(f'<row r="{row}"><c r="A{row}" t="s"><v>0</v></c></row>' for row in range(1, 7000))
    path = with_part(path, SHEET, sheet_xml(cells))
    assert sentences(path) == [f"h.xlsx, sheet Circuits: the sheet holds too much text. {STRAY}"]


def test_a_shared_text_that_is_not_there(tmp_path: Path) -> None:
    path = with_part(workbook(tmp_path), SHEET, sheet_xml('<row r="1"><c r="A1" t="s"><v>99</v></c></row>'))
    assert sentences(path) == [f"h.xlsx: the workbook is damaged: a shared text is not there. {SAVE_AGAIN}"]


def test_empty_cells_far_away_do_no_harm(tmp_path: Path) -> None:
    word = '<c r="{}" t="inlineStr"><is><t>{}</t></is></c>'
    rows = f'<row r="1">{word.format("A1", "Circuit")}{word.format("B1", "Qty")}<c r="XFD1" s="0"/></row>'
    rows += f'<row r="2">{word.format("A2", "C1")}<c r="B2"><v>6</v></c></row>'
    rows += '<row r="1048576"><c r="A1048576" s="0"/></row>'
    assert sentences(with_part(workbook(tmp_path), SHEET, sheet_xml(rows))) == []


def test_a_large_sheet_beside_the_schedule_is_left_out(tmp_path: Path) -> None:
    path = write_xlsx(tmp_path / "h.xlsx", {"Prices": [["a"]], "Circuits": [HEAD, ROW]})
    far = sheet_xml('<row r="1048576"><c r="XFD1048576"><v>1</v></c></row>')
    assert sentences(with_part(path, SHEET, far)) == []
