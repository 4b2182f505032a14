"""Broken workbooks, and the sentence the user must see for each."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import Any

from tests.intake.files import Fill, notes, read, sentences, write_xlsx

HEAD = ["Circuit", "Qty", "Watts", "Room"]
ROW = ["C1", 6, 5.5, "Hall"]
RECALCULATE = "Recalculate the workbook and save it, or paste the cell as a value."


def workbook(folder: Path, *rows: list[Any], fill: Fill | None = None) -> Path:
    return write_xlsx(folder / "h.xlsx", {"Circuits": [HEAD, *rows]}, fill)


def test_a_formula_that_was_never_calculated(tmp_path: Path) -> None:
    def fill(_: Any, sheet: Any) -> None:
        sheet.write_formula(1, 1, "=2*3")
        sheet.write_formula(1, 2, "=A9", None, "#REF!")

    assert sentences(workbook(tmp_path, ROW, fill=fill)) == [
        "h.xlsx, sheet Circuits, cell B2: the cell holds a formula whose stored result is 0, as if never "
        f"calculated. {RECALCULATE}",
    ]


def test_an_error_under_the_watts_leaves_them_unknown(tmp_path: Path) -> None:
    def fill(_: Any, sheet: Any) -> None:
        sheet.write_formula(1, 2, "=A9", None, "#REF!")

    assert notes(workbook(tmp_path, ROW, fill=fill)) == [
        "Not read: the watts of 1 of 1 rows; their circuits cannot be proven.",
        "h.xlsx, sheet Circuits, cell C2: the cell holds the error '#REF!'. Mend the formula, or write the "
        "value itself. The value is taken as not known.",
    ]


def test_a_formula_without_any_result(tmp_path: Path) -> None:
    import openpyxl

    book = openpyxl.Workbook()
    assert book.active is not None
    book.active.append(HEAD)
    book.active.append(["C1", "=2*3", 5, ""])
    book.save(tmp_path / "h.xlsx")
    assert sentences(tmp_path / "h.xlsx") == [
        f"h.xlsx, sheet Sheet, cell B2: the cell holds a formula that was never calculated. {RECALCULATE}"
    ]


def test_rows_of_formulas_alone_are_not_dropped(tmp_path: Path) -> None:
    def fill(_: Any, sheet: Any) -> None:
        for column in range(3):
            sheet.write_formula(2, column, "=A1")

    told = sentences(workbook(tmp_path, ROW, fill=fill))
    assert [sentence.split(":")[0] for sentence in told] == [
        f"h.xlsx, sheet Circuits, cell {letter}3" for letter in "AB"
    ]


def test_a_text_that_became_a_date(tmp_path: Path) -> None:
    def fill(book: Any, sheet: Any) -> None:
        date = book.add_format({"num_format": "d mmm"})
        sheet.write_datetime(1, 0, datetime.datetime(2026, 2, 1), date)

    assert sentences(workbook(tmp_path, ROW, fill=fill)) == [
        "h.xlsx, sheet Circuits, cell A2: the cell holds a date or a time, not a text or a number; a "
        "spreadsheet makes a date of a text such as 1-2. Format the cell as text and write it again; "
        "write a range as '5 to 6'."
    ]


def test_a_merged_quantity(tmp_path: Path) -> None:
    def fill(_: Any, sheet: Any) -> None:
        sheet.merge_range(1, 1, 2, 1, 6)

    assert sentences(workbook(tmp_path, ROW, ["C2", None, 5], fill=fill)) == [
        "h.xlsx, sheet Circuits, cell B3: the row has no quantity. Write how many luminaires the row stands "
        "for."
    ]


def test_a_column_without_heading(tmp_path: Path) -> None:
    assert notes(workbook(tmp_path, [*ROW, "stray"])) == [
        "h.xlsx, sheet Circuits, cell E2: a column without a heading holds values and is left out."
    ]
    head = [*HEAD[:2], None, *HEAD[2:]]
    path = write_xlsx(tmp_path / "h.xlsx", {"Circuits": [head, [*ROW[:2], "stray", *ROW[2:]]]})
    assert notes(path) == [
        "h.xlsx, sheet Circuits, cell C2: a column without a heading holds values and is left out."
    ]


def test_a_circuit_may_serve_two_rooms(tmp_path: Path) -> None:
    schedule = read(workbook(tmp_path, ROW, ["C1", 1, 5, "Stairs"]))
    assert [(row.circuit, row.room) for row in schedule.rows] == [("C1", "Hall"), ("C1", "Stairs")]
    assert schedule.notes == ()


def test_two_sheets_with_a_schedule(tmp_path: Path) -> None:
    path = write_xlsx(tmp_path / "h.xlsx", {"Ground": [HEAD, ROW], "First": [HEAD, ROW]})
    assert sentences(path) == [
        "h.xlsx: more than one sheet is a schedule of the same circuits. Sheets: Ground, First. Name the "
        "one to read with --sheet, or call it Circuits."
    ]
    assert sentences(path, "ground") == []
    assert sentences(path, "Grund") == [
        "h.xlsx: the workbook has no sheet 'Grund'. Sheets: Ground, First. Nearest: Ground."
    ]


def test_a_workbook_with_nothing_in_it(tmp_path: Path) -> None:
    path = write_xlsx(tmp_path / "h.xlsx", {"Circuits": []})
    assert sentences(path) == [
        "h.xlsx: there is no sheet with anything in it. 'compat template' writes a schedule to fill in."
    ]


def test_no_headings(tmp_path: Path) -> None:
    path = write_xlsx(tmp_path / "h.xlsx", {"Circuits": [["a", "b"], [1, 2]]})
    assert sentences(path)[0].startswith("h.xlsx, sheet Circuits: no heading row was found.")
