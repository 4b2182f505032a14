"""What is special to workbooks: addresses, merged and hidden cells, sheets, formulas."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import Any

from compat.model.schedule import ScheduleRow
from compat.model.values import Content, Interval
from tests.intake.files import read, sheet_xml, with_part, write_xlsx


def contents(row: ScheduleRow) -> dict[str, Content]:
    return {name: trait.content for name, trait in (row.driver_traits | row.circuit_traits).items()}


def test_title_rows_and_an_offset_keep_the_true_address(tmp_path: Path) -> None:
    rows = [[], [None, None, "A house, ground floor"], [], [None, None, "Circuit", "Qty", "Watts"],
            [None, None, "C1", 6, 5.5]]  # fmt: skip
    schedule = read(write_xlsx(tmp_path / "h.xlsx", {"Sheet1": rows}))
    origin = schedule.rows[0].driver_traits["input_power_w"].origin
    assert origin is not None
    assert origin.text() == "h.xlsx, sheet Sheet1, cell E5"
    assert schedule.rows[0].number == 5


def test_a_heading_in_two_rows(tmp_path: Path) -> None:
    def fill(_: Any, sheet: Any) -> None:
        for column, text in enumerate(("Circuit", "Qty")):
            sheet.merge_range(0, column, 1, column, text)
        sheet.merge_range(0, 2, 0, 3, "Inrush")
        sheet.write_row(1, 2, ["peak (A)", "width (µs)"])
        sheet.write_row(2, 0, ["C1", 6, 28, 380])

    row = read(write_xlsx(tmp_path / "h.xlsx", {"Circuits": []}, fill)).rows[0]
    assert contents(row) == {"inrush_peak_a": Interval(28, 28), "inrush_width_us": Interval(380, 380)}


def test_merged_cells_give_their_value_to_every_row(tmp_path: Path) -> None:
    def fill(_: Any, sheet: Any) -> None:
        sheet.write_row(0, 0, ["Circuit", "Qty", "Watts"])
        sheet.merge_range(1, 0, 3, 0, "C1")
        sheet.write_row(1, 1, [6, 5])
        sheet.write_row(2, 1, [2, 7])

    schedule = read(write_xlsx(tmp_path / "h.xlsx", {"Circuits": []}, fill))
    assert [(row.circuit, row.quantity) for row in schedule.rows] == [("C1", 6), ("C1", 2)]
    assert schedule.rows[1].origins["circuit"].cell == "A2"
    assert "cell A2: merged down to row 3; 'C1' is read in each of its rows." in schedule.notes[0]


def test_hidden_sheets_are_left_out_and_hidden_rows_are_not(tmp_path: Path) -> None:
    def fill(book: Any, sheet: Any) -> None:
        book.get_worksheet_by_name("Old").hide()
        sheet.set_row(1, None, None, {"hidden": True})
        sheet.set_column(2, 2, None, None, {"hidden": True})

    rows = [["Circuit", "Qty", "Watts"], ["C1", 6, 5], ["C2", 1, 5]]
    path = write_xlsx(tmp_path / "h.xlsx", {"New": rows, "Old": rows}, fill)
    schedule = read(path)
    assert [row.circuit for row in schedule.rows] == ["C1", "C2"]
    assert schedule.notes == (
        "h.xlsx, sheet Old: the sheet is hidden and is not read.",
        "Hidden rows are read like the others: 2.",
        "Hidden columns are read like the others: 'Watts'.",
    )
    assert read(path, "old").rows[0].origins["circuit"].sheet == "Old"


def test_the_sheet_with_a_schedule_is_found(tmp_path: Path) -> None:
    schedule = [["Circuit", "Qty"], ["C1", 6]]
    path = write_xlsx(tmp_path / "h.xlsx", {"Cover": [["A house"]], "Lighting": schedule})
    assert read(path).rows[0].origins["circuit"].sheet == "Lighting"
    path = write_xlsx(tmp_path / "h.xlsx", {"Draft": schedule, "circuits": schedule})
    assert read(path).rows[0].origins["circuit"].sheet == "circuits"


def test_stored_results_of_formulas_are_used_and_said(tmp_path: Path) -> None:
    def fill(_: Any, sheet: Any) -> None:
        sheet.write_row(0, 0, ["Circuit", "Qty", "Watts"])
        sheet.write_row(1, 0, ["C1"])
        sheet.write_formula(1, 1, "=2*3", None, 6)
        sheet.write_formula(1, 2, "=11/2", None, 5.5)
        sheet.write_formula(2, 2, "=A9*2")

    schedule = read(write_xlsx(tmp_path / "h.xlsx", {"Circuits": []}, fill))
    assert [(row.quantity, contents(row)) for row in schedule.rows] == [
        (6, {"input_power_w": Interval(5.5, 5.5)})
    ]
    assert "cell B2: formulas are read by their stored results (2 in all)" in schedule.notes[0]


def test_a_formula_that_gives_an_empty_text_leaves_its_cell_empty(tmp_path: Path) -> None:
    path = write_xlsx(tmp_path / "h.xlsx", {"Circuits": []})
    word = '<c r="{}" t="inlineStr"><is><t>{}</t></is></c>'
    top = "".join(
        word.format(f"{letter}1", text)
        for letter, text in zip("ABC", ("Circuit", "Room", "Fitting"), strict=True)
    )
    top += word.format("D1", "Qty")
    row = word.format("A2", "C1") + '<c r="B2" t="str"><f>IF(1,"","x")</f><v></v></c><c r="D2"><v>6</v></c>'
    rows = f'<row r="1">{top}</row><row r="2">{row}</row>'
    found = read(with_part(path, "xl/worksheets/sheet1.xml", sheet_xml(rows))).rows[0]
    assert (found.circuit, found.room, found.quantity) == ("C1", "", 6)


def test_a_date_in_a_column_that_is_not_read_does_no_harm(tmp_path: Path) -> None:
    def fill(book: Any, sheet: Any) -> None:
        date = book.add_format({"num_format": "yyyy-mm-dd"})
        sheet.write_datetime(1, 2, datetime.datetime(2026, 1, 2), date)

    path = write_xlsx(tmp_path / "h.xlsx", {"Circuits": [["Circuit", "Qty", "Notes"], ["C1", 6]]}, fill)
    assert read(path).rows[0].circuit == "C1"


def test_cells_without_addresses_are_counted_on(tmp_path: Path) -> None:
    path = write_xlsx(tmp_path / "h.xlsx", {"Circuits": []})
    text = '<c t="inlineStr"><is><t>{}</t></is></c>'
    cells = [text.format("Circuit") + text.format("Qty"), text.format("C1") + "<c><f>3*2</f><v>6</v></c>"]
    rows = "".join(f"<row>{row}</row>" for row in cells)
    schedule = read(with_part(path, "xl/worksheets/sheet1.xml", sheet_xml(rows)))
    assert schedule.rows[0].quantity == 6
    assert "cell B2: formulas are read" in schedule.notes[0]
