"""Reading whole schedules: places, formats that agree, sheets, merged cells, formulas, notes."""

from __future__ import annotations

import hashlib
import json
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from compat.model.faults import BadInput
from compat.model.schedule import ScheduleRow
from compat.model.values import Content, Interval, Origin, TokenSet
from tests.intake.files import ROOT, outcome, read, write_csv, write_xlsx

HEADINGS = ["Circuit", "Room", "Fitting", "Qty", "W each", "Control", "Inrush", "Driver", "Control wanted"]
FIRST = ["C1", "Hall", "Downlight", 6, 5.5, "leading edge", "28 A/380 us", "D0001", "dimmed"]
SECOND = ["C2", "", "Strip", 2, "10-12", "DALI", "?", "", ""]


def contents(row: ScheduleRow) -> dict[str, Content]:
    return {name: trait.content for name, trait in (row.driver_traits | row.circuit_traits).items()}


EXPECTED = [
    {
        "input_power_w": Interval(5.5, 5.5),
        "methods": TokenSet.exactly("forward_phase", "switched"),
        "inrush_peak_a": Interval(28, 28),
        "inrush_width_us": Interval(380, 380),
        "wanted_control": "dimmed",
    },
    {"input_power_w": Interval(10, 12), "methods": TokenSet.exactly("dali", "switched")},
]


def written(folder: Path, kind: str) -> Path:
    """The same two rows in a format."""
    path = folder / f"house.{kind}"
    texts = [[str(cell) for cell in row] for row in (HEADINGS, FIRST, SECOND)]
    if kind == "xlsx":
        return write_xlsx(path, {"Circuits": [HEADINGS, FIRST, SECOND]})
    if kind == "json":
        rows = [dict(zip(HEADINGS, row, strict=True)) for row in (FIRST, SECOND)]
        rows[1]["W each"] = [10, 12]
        path.write_text(json.dumps({"rows": rows}))
        return path
    if kind == "parquet":
        import polars

        columns = dict(zip(HEADINGS, map(list, zip(*texts[1:], strict=True)), strict=True))
        polars.DataFrame(columns | {"Qty": [6, 2]}).write_parquet(path)
        return path
    separator = "\t" if kind == "tsv" else ";"
    return write_csv(path, "\n".join(separator.join(row) for row in texts))


@pytest.mark.parametrize("kind", ["xlsx", "csv", "tsv", "json", "parquet"])
def test_every_format_gives_the_same_rows(tmp_path: Path, kind: str) -> None:
    path = written(tmp_path, kind)
    schedule = read(path)
    first, second = schedule.rows
    assert [contents(row) for row in schedule.rows] == EXPECTED
    assert (first.circuit, first.room, first.luminaire_type, first.quantity) == ("C1", "Hall", "Downlight", 6)
    assert (first.driver_id, first.output_id, second.driver_id) == ("D0001", None, None)
    assert schedule.file == path.name
    assert schedule.sha256 == hashlib.sha256(path.read_bytes()).hexdigest()


@pytest.mark.parametrize(
    ("kind", "place"),
    [
        ("xlsx", Origin("house.xlsx", sheet="Circuits", cell="E2")),
        ("csv", Origin("house.csv", line=2, key="column W each")),
        ("json", Origin("house.json", key="rows[0].W each")),
        ("parquet", Origin("house.parquet", key="rows[0].W each")),
    ],
)
def test_every_trait_knows_its_place(tmp_path: Path, kind: str, place: Origin) -> None:
    row = read(written(tmp_path, kind)).rows[0]
    trait = row.driver_traits["input_power_w"]
    assert (trait.basis, trait.source, trait.origin) == ("declared", None, place)
    assert row.origins["input_power_w"] == place
    assert set(row.origins) >= {"circuit", "room", "quantity", "methods"}


def test_totals_repeated_headings_and_blank_rows_are_left_out(tmp_path: Path) -> None:
    text = "Circuit,Qty,Watts,Total W,Notes,#mine\nC1,6,5,30,x,y\n,,,,only a note,\n"
    text += "Circuit,Qty,Watts,,,\nC2,1,5,,,\nTotal,7,,,,\n"
    schedule = read(write_csv(tmp_path / "h.csv", text))
    assert [(row.circuit, row.number) for row in schedule.rows] == [("C1", 2), ("C2", 5)]
    assert schedule.notes == (
        "h.csv, line 4, column Circuit: the row repeats the headings and is not read.",
        "h.csv, line 6, column Circuit: the row is a total of the rows above it and is not read.",
    )


def test_what_could_be_misread_is_said(tmp_path: Path) -> None:
    rows = [["Circuit", "Qty", "Load (W)"], [1.1, 6, 5], ["c-2", 1, 5], ["C2", 1, 5]]
    notes = read(write_xlsx(tmp_path / "h.xlsx", {"Circuits": rows})).notes
    assert any("is 'Load (W)' of one luminaire or of all in the row?" in note for note in notes)
    assert "The circuits 'c-2' and 'C2' are read as different circuits." in notes
    assert any("1.1 and 1.10 are the same" in note for note in notes)
    rows = [["Circuit", "Qty"], ["1.10", 6], [2, 1]]
    assert read(write_xlsx(tmp_path / "h.xlsx", {"Circuits": rows})).notes == ()


def test_a_voltage_range_fills_both_ends(tmp_path: Path) -> None:
    text = "Circuit,Qty,Mains voltage,Mains frequency\nC1,1,220-240 V,50/60 Hz\nC2,1,230,?\n"
    first, second = read(write_csv(tmp_path / "h.csv", text)).rows
    assert contents(first) == {
        "input_voltage_min_v": Interval(220, 220),
        "input_voltage_max_v": Interval(240, 240),
        "input_frequency_min_hz": Interval(50, 50),
        "input_frequency_max_hz": Interval(60, 60),
    }
    assert contents(second)["input_voltage_max_v"] == Interval(230, 230)


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_encodings(tmp_path: Path, encoding: str) -> None:
    text = "Circuit;Qty;Inrush width (µs);Room\nC1;1;380;Café\n"
    schedule = read(write_csv(tmp_path / "h.csv", text, encoding))
    assert schedule.rows[0].room == "Café"
    assert contents(schedule.rows[0]) == {"inrush_width_us": Interval(380, 380)}
    assert bool(schedule.notes) is (encoding == "cp1252")


@pytest.mark.parametrize("separator", [",", ";", "\t", "|"])
def test_separators(tmp_path: Path, separator: str) -> None:
    rows = [['"House, ground; floor"'], ["Circuit", "Qty", "Room"], ["C1", "1", '"a, b; c|d"']]
    text = "\r\n".join(separator.join(row) for row in rows)
    row = read(write_csv(tmp_path / "h.csv", text)).rows[0]
    assert (row.circuit, row.quantity, row.room, row.number) == ("C1", 1, "a, b; c|d", 3)


def test_a_line_with_the_separator_is_obeyed_and_counted(tmp_path: Path) -> None:
    schedule = read(write_csv(tmp_path / "h.csv", "sep=;\r\nCircuit;Qty;Watts\r\nC1;1;5,5\r\n"))
    assert schedule.rows[0].driver_traits["input_power_w"].origin == Origin(
        "h.csv", line=3, key="column Watts"
    )


def test_line_numbers_survive_line_breaks_in_cells(tmp_path: Path) -> None:
    schedule = read(write_csv(tmp_path / "h.csv", 'Circuit,Qty,Room\nC1,1,"Hall\nand stairs"\nC2,1,\n'))
    assert [(row.number, row.room) for row in schedule.rows] == [(2, "Hall and stairs"), (4, "")]


def test_ids_are_found_without_case(tmp_path: Path) -> None:
    row = read(write_csv(tmp_path / "h.csv", "Circuit,Qty,Driver,Output\nC1,1,d0001,o0002\n")).rows[0]
    assert (row.driver_id, row.output_id) == ("D0001", "O0002")


def test_json_numbers_keep_their_digits(tmp_path: Path) -> None:
    path = tmp_path / "h.json"
    path.write_text(
        '[{"circuit": 1.10, "quantity": 6, "dimming_forbidden": false, "methods": ["DALI", "dmx"]}]'
    )
    row = read(path).rows[0]
    assert row.circuit == "1.10"
    assert contents(row) == {
        "dimming_forbidden": False,
        "methods": TokenSet.exactly("dali", "dmx", "switched"),
    }


def test_light_readers_do_not_load_heavy_libraries() -> None:
    code = (
        "import sys, compat.intake.read, compat.intake.template, compat.intake.workbook;"
        "print(sorted({'polars', 'openpyxl', 'xlsxwriter', 'duckdb'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.binary(max_size=300), kind=st.sampled_from(["csv", "json", "xlsx", "tsv"]))
def test_any_bytes_give_rows_or_sentences(tmp_path: Path, data: bytes, kind: str) -> None:
    path = tmp_path / f"any.{kind}"
    path.write_bytes(data)
    found = outcome(lambda: read(path), BadInput)
    if isinstance(found, BadInput):
        assert all(fault.what and fault.where.file == path.name for fault in found.faults)
    else:
        assert found.rows


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(cells=st.lists(st.lists(st.text(max_size=12), min_size=3, max_size=3), max_size=4))
def test_any_cells_give_rows_or_sentences(tmp_path: Path, cells: list[list[str]]) -> None:
    path = tmp_path / "any.json"
    rows = [dict(zip(("circuit", "quantity", "methods"), row, strict=True)) for row in cells]
    path.write_text(json.dumps(rows))
    found = outcome(lambda: read(path), BadInput)
    if isinstance(found, BadInput):
        assert all(fault.sentence().isprintable() for fault in found.faults)
    else:
        assert len(found.rows) <= len(cells)


def test_no_beside_a_circuit_is_the_quantity_and_that_is_told(tmp_path: Path) -> None:
    table = "Cct,Type,No.,W each,MCB\n1,Downlight,8,7.5,B6\n2,Wall light,4,4,B6\n"
    schedule = read(write_csv(tmp_path / "a.csv", table))
    assert [row.quantity for row in schedule.rows] == [8, 4]
    assert any("'No.' is guessed to mean quantity" in note for note in schedule.notes)
    assert [row.breaker for row in schedule.rows] == [None, None]
    assert any("'MCB' is left out: it holds ratings" in note for note in schedule.notes)


def test_no_that_numbers_the_rows_is_no_quantity(tmp_path: Path) -> None:
    table = "No.,Cct,Type,W each\n1,A,Downlight,7.5\n2,B,Wall light,4\n3,C,Wall light,4\n"
    with pytest.raises(BadInput, match="the column Quantity is missing"):
        read(write_csv(tmp_path / "a.csv", table))
