"""Files at the edge of what can be read: each is read rightly, or ends in its sentence."""

from __future__ import annotations

import datetime
import io
import json
import os
import struct
import zipfile
from pathlib import Path
from typing import Any

import pytest

from compat.model.schedule import Schedule
from compat.model.values import Interval
from tests.intake.files import notes, read, sentences, with_part, write_csv, write_xlsx
from tests.messy.makers import Styled, old_book, open_book

HEAD = "Circuit,Qty,Watts,Dim floor (%)\n"
SAVE_AGAIN = "Open it in a spreadsheet program and save it again as .xlsx."
SPACE = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"


def watts(schedule: Schedule) -> list[object]:
    found = (row.driver_traits.get("input_power_w") for row in schedule.rows)
    return [trait.content if trait else None for trait in found]


def test_headings_only(tmp_path: Path) -> None:
    assert sentences(write_csv(tmp_path / "h.csv", HEAD)) == [
        "h.csv: there are headings but no rows with luminaires below them. Write one row for each luminaire "
        "type on a circuit."
    ]


def test_two_hundred_columns(tmp_path: Path) -> None:
    extra = ",".join(f"Own column {number}" for number in range(198))
    path = write_csv(tmp_path / "h.csv", f"Circuit,Qty,{extra}\nC1,6{',x' * 198}\n")
    (told,) = notes(path)
    assert told.startswith("Columns left out: Own column 0, Own column 1,")
    assert told.endswith(" and 186 more.")


def test_fifty_thousand_rows(tmp_path: Path) -> None:
    rows = "".join(f"C{number // 10},{number % 9 + 1},{number % 7 + 5}\n" for number in range(50_000))
    schedule = read(write_csv(tmp_path / "h.csv", "Circuit,Qty,Watts\n" + rows))
    assert len(schedule.rows) == 50_000
    assert watts(schedule)[49_999] == Interval(10, 10)
    assert schedule.notes == ()


@pytest.mark.parametrize("encoding", ["utf-16-le", "utf-16-be"])
def test_utf_16_without_its_mark(tmp_path: Path, encoding: str) -> None:
    path = write_csv(tmp_path / "h.csv", HEAD + "C1,6,7,5\n", encoding)
    assert watts(read(path)) == [Interval(7, 7)]
    assert notes(path) == ["h.csv: the text is read as UTF-16, though no mark at its start says so."]


@pytest.mark.parametrize("encoding", ["cp1252", "mac_roman", "cp850"])
def test_older_encodings(tmp_path: Path, encoding: str) -> None:
    path = write_csv(tmp_path / "h.csv", "Circuit;Room;Qty\nC1;Küche;6\nC2;Salle à manger;2\n", encoding)
    assert [row.room for row in read(path).rows] == ["Küche", "Salle à manger"]


def test_line_ends_of_an_old_system(tmp_path: Path) -> None:
    path = write_csv(tmp_path / "h.csv", "Circuit,Qty\rC1,6\rC2,3\r")
    assert [(row.circuit, row.number) for row in read(path).rows] == [("C1", 2), ("C2", 3)]


def test_a_workbook_named_csv(tmp_path: Path) -> None:
    path = write_xlsx(tmp_path / "h.xlsx", {"S": [["Circuit", "Qty"], ["C1", 6]]}).rename(tmp_path / "h.csv")
    assert [row.quantity for row in read(path).rows] == [6]
    assert notes(path) == ["h.csv: the file is a workbook, whatever its name says, and is read as one."]


def test_a_text_named_xls(tmp_path: Path) -> None:
    path = write_csv(tmp_path / "h.xls", "Circuit\tQty\nC1\t6\n")
    assert [row.quantity for row in read(path).rows] == [6]
    assert notes(path) == ["h.xls: the file is plain text, whatever its name says, and is read as one."]


def test_a_date_in_place_of_a_circuit(tmp_path: Path) -> None:
    def fill(book: Any, sheet: Any) -> None:
        sheet.write_datetime(1, 0, datetime.datetime(2026, 2, 1), book.add_format({"num_format": "d-mmm"}))

    path = write_xlsx(tmp_path / "h.xlsx", {"S": [["Circuit", "Qty"], ["", 6]]}, fill)
    assert sentences(path)[0].startswith("h.xlsx, sheet S, cell A2: the cell holds a date or a time")


def formatted(folder: Path, kind: str) -> Path:
    """A dim floor of 20 % and a control current of 60 mA, each by its number format alone."""
    head = ["Circuit", "Qty", "Dim floor (%)", "DALI current"]
    if kind == "ods":
        return open_book({"S": [head, ["C1", 6, Styled((0.2, "percent")), Styled((60, "milliamps"))]]})(
            folder
        )
    if kind == "xls":
        return old_book({"S": [head, ["C1", 6, 0.2, 60]]}, {(1, 2): "0%", (1, 3): '0" mA"'})(folder)

    def fill(book: Any, sheet: Any) -> None:
        sheet.write_number(1, 2, 0.2, book.add_format({"num_format": "0%"}))
        sheet.write_number(1, 3, 60, book.add_format({"num_format": '0" mA"'}))

    return write_xlsx(folder / "schedule.xlsx", {"S": [head, ["C1", 6]]}, fill)


@pytest.mark.parametrize("kind", ["xlsx", "xls", "ods"])
def test_a_number_is_read_as_its_format_shows_it(tmp_path: Path, kind: str) -> None:
    (row,) = read(formatted(tmp_path, kind)).rows
    assert row.driver_traits["dim_floor_percent"].content == Interval(20, 20)
    assert row.driver_traits["dali_current_ma"].content == Interval(60, 60)


@pytest.mark.parametrize("kind", ["xlsx", "xls"])
def test_a_number_format_that_is_not_understood(tmp_path: Path, kind: str) -> None:
    head = ["Circuit", "Qty", "Watts"]
    if kind == "xls":
        path = old_book({"S": [head, ["C1", 6, 1500]]}, {(1, 2): '0.0,"k"'})(tmp_path)
    else:
        path = write_xlsx(
            tmp_path / "schedule.xlsx", {"S": [head, ["C1", 6]]},
            lambda book, sheet: sheet.write_number(1, 2, 1500, book.add_format({"num_format": '0.0,"k"'})),
        )  # fmt: skip
    assert watts(read(path)) == [None]
    assert any("the number format '0.0,\"k\"' of the cell is not understood" in note for note in notes(path))


def test_a_forged_count_of_shared_texts(tmp_path: Path) -> None:
    path = write_xlsx(tmp_path / "h.xlsx", {"S": [["Circuit", "Qty"], ["C1", 6]]})
    with zipfile.ZipFile(path) as package:
        text = package.read("xl/sharedStrings.xml").decode()
    forged = text.replace('uniqueCount="', 'uniqueCount="18446744073709551')
    assert forged != text
    assert [row.circuit for row in read(with_part(path, "xl/sharedStrings.xml", forged.encode())).rows] == [
        "C1"
    ]


def test_damaged_parquet_files_end_in_a_sentence(tmp_path: Path) -> None:
    import polars

    made = io.BytesIO()
    polars.DataFrame({"circuit": ["C1"] * 50, "quantity": [6] * 50}).write_parquet(made)
    data = made.getvalue()
    length = struct.unpack("<I", data[-8:-4])[0]
    footer = len(data) - 8 - length
    seen = set()
    for place in (footer + 5, footer + length // 2):
        damaged = bytearray(data)
        damaged[place : place + 6] = b"\xff" * 6
        path = tmp_path / "h.parquet"
        path.write_bytes(damaged)
        seen.add(tuple(sentences(path)))
    assert seen <= {
        ("h.parquet: the Parquet file is damaged. Write it again, or save the schedule as CSV.",),
        (),
    }
    assert seen != {()}


def test_a_reader_that_takes_all_memory_is_ended_in_its_own_process(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The child falls for want of memory; this process says so in a sentence."""
    import polars

    from compat.intake import child

    path = tmp_path / "h.parquet"
    polars.DataFrame({"circuit": ["C1"], "quantity": [6]}).write_parquet(path)
    assert sentences(path) == []
    monkeypatch.setattr(child, "SECONDS", 0.001)
    assert sentences(path) == [
        "h.parquet: the Parquet file is damaged. Write it again, or save the schedule as CSV."
    ]


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no pipes with a name")
def test_a_pipe_does_not_hang(tmp_path: Path) -> None:
    path = tmp_path / "h.csv"
    os.mkfifo(path)
    assert sentences(path)[0].startswith("h.csv: this is not an ordinary file.")


def test_many_merged_cells_take_linear_time(tmp_path: Path) -> None:
    def fill(_: Any, sheet: Any) -> None:
        for row in range(1, 8001, 2):
            sheet.merge_range(row, 0, row + 1, 0, f"C{row}")
            sheet.write_row(row, 1, [6, 7])
            sheet.write_row(row + 1, 1, [2, 7])

    schedule = read(write_xlsx(tmp_path / "h.xlsx", {"S": [["Circuit", "Qty", "Watts"]]}, fill))
    assert len(schedule.rows) == 8000
    assert len({row.circuit for row in schedule.rows}) == 4000
    assert len(schedule.notes) == 1


def test_doubled_keys_take_linear_time(tmp_path: Path) -> None:
    row = "{" + ",".join(f'"k{number}": 1' for number in range(20_000)) + ', "k19999": 2}'
    assert sentences(write_csv(tmp_path / "h.json", f"[{row}]")) == [
        "h.json: the key 'k19999' stands twice in one object. Keep one of them."
    ]


def test_more_values_than_any_schedule_has(tmp_path: Path) -> None:
    path = write_csv(tmp_path / "h.json", "[" + "1," * 5_000_001 + "1]")
    assert sentences(path)[0].startswith("h.json: the file has more than 5000000 values.")
    path = write_csv(tmp_path / "h.csv", "Circuit,Qty\n" + ("," * 499 + "\n") * 10_001)
    assert sentences(path)[0].startswith("h.csv: the file has more than 5000000 cells.")


def test_numbers_that_are_none_in_json(tmp_path: Path) -> None:
    path = write_csv(
        tmp_path / "h.json", json.dumps([{"circuit": "C1", "quantity": 6, "watts": float("inf")}])
    )
    assert watts(read(path)) == [None]
