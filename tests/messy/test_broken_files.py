"""Files that cannot be read at all, and the sentence the user must see for each."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.intake.files import notes, sentences, write_csv

ALLOWED = "Allowed: .xlsx, .xlsm, .xls, .ods, .csv, .tsv, .txt, .json, .parquet"
HEAD = "Circuit,Qty,Watts,Output,Driver,Control\n"

BYTES: dict[str, tuple[str, bytes, str]] = {
    "empty": ("h.csv", b"", "h.csv: the file is empty. 'compat template' writes a schedule to fill in."),
    "only blanks": ("h.csv", b"\xef\xbb\xbf \r\n\r\n", "h.csv: the file is empty. 'compat template' writes a "
                    "schedule to fill in."),
    "zero bytes": ("h.csv", b"Circuit,Qty\nC1,\x00\n", "h.csv, line 2: the file holds bytes that are "
                   "not text. Export the schedule as CSV with the encoding UTF-8."),
    "binary": ("h.csv", b"\x89\x81\x8d\x90", "h.csv, line 1: the file holds bytes that are not text. "
               "Export the schedule as CSV with the encoding UTF-8."),
    "escape sequence": ("h.csv", b"Circuit,Qty\n\nC\x1b[31m,1\n", "h.csv, line 3: the file holds bytes "
                        "that are not text. Export the schedule as CSV with the encoding UTF-8."),
    "damaged workbook called CSV": ("h.csv", b"PK\x03\x04", "h.csv: the workbook is damaged or is not a "
                                    "workbook. Open it in a spreadsheet program and save it again as .xlsx."),
    "wrong suffix": ("h.doc", b"x", "h.doc: the name ends in .doc, which is no format of a schedule. "
                     f"{ALLOWED}. Open it in a spreadsheet program and save it as .xlsx or .csv."),
    "no suffix": ("house", b"x", "house: the name ends in nothing, which is no format of a schedule. "
                  f"{ALLOWED}. Open it in a spreadsheet program and save it as .xlsx or .csv."),
    "PDF": ("h.pdf", b"%PDF-1.7", "h.pdf: the file is a PDF, which holds a picture of a table and not the "
            f"table. {ALLOWED}. Ask for the spreadsheet it was made from, or copy its table into a "
            "spreadsheet and save that."),
    "PDF called CSV": ("h.csv", b"%PDF-1.7", "h.csv: the file is a PDF, which holds a picture of a table and "
                       f"not the table. {ALLOWED}. Ask for the spreadsheet it was made from, or copy its "
                       "table into a spreadsheet and save that."),
    "page called XLS": ("h.xls", b"<html><table>", "h.xls: the file is a page or a document, no table. Open "
                        "it in a spreadsheet program and save it as .xlsx or .csv."),
    "damaged old workbook": ("h.xls", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1junk", "h.xls: the workbook is "
                             "damaged or is not a workbook. Open it in a spreadsheet program and save it "
                             "again as .xlsx."),
    "damaged Parquet": ("h.parquet", b"PAR1junk", "h.parquet: the Parquet file is damaged. Write it "
                        "again, or save the schedule as CSV."),
}  # fmt: skip


@pytest.mark.parametrize(("name", "data", "expected"), BYTES.values(), ids=BYTES.keys())
def test_bytes(tmp_path: Path, name: str, data: bytes, expected: str) -> None:
    (tmp_path / name).write_bytes(data)
    assert sentences(tmp_path / name) == [expected]


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    write_csv(tmp_path / "house.csv", HEAD)
    assert sentences(tmp_path / "hose.csv") == ["hose.csv: there is no such file. Nearest: house.csv."]
    assert sentences(tmp_path / "no" / "x.csv") == [
        "x.csv: there is no such file. Check the name and the folder."
    ]


def test_a_folder(tmp_path: Path) -> None:
    folder = tmp_path / "h.csv"
    folder.mkdir()
    assert sentences(folder) == [
        f"h.csv: this is a folder, not a file. {ALLOWED}. Name the schedule inside it."
    ]


def test_a_sheet_of_a_file_without_sheets(tmp_path: Path) -> None:
    path = write_csv(tmp_path / "h.csv", HEAD + "C1,1,5,,,\n")
    assert sentences(path, "Circuits") == ["h.csv: a .csv file has no sheets. Leave --sheet out."]


def test_a_hundred_thousand_rows_are_read_and_one_more_is_not(tmp_path: Path) -> None:
    rows = ["C1,1"] * 100_001
    path = write_csv(tmp_path / "h.csv", "Circuit,Qty\n" + "\n".join(rows))
    assert sentences(path) == ["h.csv: the schedule has more than 100000 rows. Split it into several files."]
    path = write_csv(tmp_path / "h.csv", "Circuit,Qty\n" + "\n" * 3_000_000)
    assert sentences(path) == ["h.csv: the file has more than 100000 rows. Split it into several files."]


def test_a_file_that_is_too_large(tmp_path: Path) -> None:
    path = tmp_path / "h.csv"
    with path.open("wb") as file:
        file.truncate(50_000_001)
    assert sentences(path) == [
        "h.csv: the file is too large for a schedule. At most 50 MB. Keep only the schedule in it."
    ]


def test_a_thousand_faults_are_enough(tmp_path: Path) -> None:
    told = sentences(write_csv(tmp_path / "h.csv", "Circuit,Qty\n" + "C1,x\n" * 5000))
    assert len(told) == 1001
    assert told[-1] == (
        "h.csv: the file has 1000 faults or more and was not read further. Mend these and run it again."
    )


def test_a_parquet_file_with_nan(tmp_path: Path) -> None:
    import polars

    path = tmp_path / "h.parquet"
    columns = {"circuit": ["C1"], "quantity": [1], "input_power_w": [float("nan")], "room": [{"a": 1}]}
    polars.DataFrame(columns).write_parquet(path)
    assert notes(path) == [
        "Not read: the watts of 1 of 1 rows; their circuits cannot be proven.",
        "h.parquet, rows[0].input_power_w: the value is not a finite number. Write a number, or leave "
        "the cell empty when it is not known. The value is taken as not known.",
        "h.parquet, rows[0].room: the value is nested and cannot be read. Give a number, a text, a list of "
        "words, or a list of the lower and the upper number. The value is taken as not known.",
    ]
