"""A check for programs and spreadsheets: every format says the same, and no text in it runs."""

from __future__ import annotations

import csv
import io
import json
import zipfile
from pathlib import Path
from xml.etree import ElementTree

import openpyxl
import pytest

from compat import api
from compat.api import CheckResult
from compat.dataset.read import data_root
from compat.report.check_rows import HEADINGS
from tests.report.sample import circuit, report_of, sample_report

HOUSE = data_root() / "datasets" / "demo" / "house.xlsx"
FORMULAS = ["=1+1", "+cmd", "-2", "@SUM(A1)", '=HYPERLINK("x")']


@pytest.fixture(scope="module")
def house() -> CheckResult:
    return api.check(HOUSE)


def hostile() -> CheckResult:
    """Circuits and rooms that a spreadsheet would run; one of them with line ends and a bar."""
    told = [circuit(name, name, [(name, 1, "Lamp")], []) for name in FORMULAS]
    told.append(circuit("a|b", "x\ny", [("<b>", 1, "Lamp")], []))
    return CheckResult(report_of(told, {"unproven": len(told)}))


def test_csv_has_a_row_for_each_circuit_and_line(house: CheckResult) -> None:
    rows = list(csv.DictReader(io.StringIO(house.to_csv())))
    assert tuple(rows[0]) == HEADINGS
    report = house.report
    assert [row["subject"] for row in rows] == [
        *(one.circuit for one in report.circuits),
        *(one.line for one in report.lines),
    ]
    assert [row["verdict"] for row in rows if row["kind"] == "line"] == [one.verdict for one in report.lines]
    fan = next(row for row in rows if row["subject"] == "G10")
    assert fan["change"].startswith("Do not dim it: use the relay, 16 A (O0021). Caution: A motor")


def test_no_text_of_a_csv_is_a_formula() -> None:
    cells = [cell for row in csv.reader(io.StringIO(hostile().to_csv())) for cell in row]
    assert not [cell for cell in cells if cell.startswith(("=", "+", "-", "@"))]
    assert "'=1+1" in cells


def test_lines_of_json_hold_the_same(house: CheckResult) -> None:
    objects = [json.loads(line) for line in house.to_jsonl().splitlines()]
    rows = list(csv.DictReader(io.StringIO(house.to_csv())))
    assert [(one["subject"], one["verdict"], one["why"]) for one in objects] == [
        (row["subject"], row["verdict"], row["why"]) for row in rows
    ]
    assert objects[0]["place"] == "house.xlsx, sheet Circuits, cell D4"


def test_markdown_has_its_sections_and_no_markup_of_others(house: CheckResult) -> None:
    text = house.to_markdown()
    headings = [line for line in text.splitlines() if line.startswith("#")]
    told = ["## Change before you buy", "## Look at these", "## Ask", "## Circuits and lines"]
    assert headings == ["# house.xlsx: 70 circuits", *told]
    table = [line for line in hostile().to_markdown().splitlines() if line.startswith("| ")]
    assert len(table) == 2 + 6
    assert "| a\\|b | x y | unproven |" in table[-1]
    assert "<b>" not in hostile().to_markdown()


def test_sarif_names_the_rule_that_decided(house: CheckResult) -> None:
    (run,) = json.loads(house.to_sarif())["runs"]
    rules = run["tool"]["driver"]["rules"]
    open_ones = [one for one in (*house.report.circuits, *house.report.lines) if one.verdict != "works"]
    assert len(run["results"]) == len(open_ones)
    assert all(rules[one["ruleIndex"]]["id"] == one["ruleId"] for one in run["results"])
    errors = [one for one in run["results"] if one["level"] == "error"]
    assert len(errors) == sum(one.verdict in ("hazard", "fails") for one in open_ones)
    assert any("circuit G10 Living room: hazard. A motor is on" in one["message"]["text"] for one in errors)


def test_junit_fails_what_fails_and_skips_what_is_open(house: CheckResult) -> None:
    suite = ElementTree.fromstring(house.to_junit())[0]
    report = house.report
    verdicts = [one.verdict for one in (*report.circuits, *report.lines)]
    assert suite.get("tests") == str(len(verdicts))
    assert len(suite.findall("testcase/failure")) == sum(v in ("hazard", "fails") for v in verdicts)
    assert suite.get("failures") == str(len(suite.findall("testcase/failure")))
    assert len(suite.findall("testcase/skipped")) == sum(v in ("unproven", "marginal") for v in verdicts)


def test_annotations_have_one_line_each_and_cannot_be_broken_out_of() -> None:
    lines = hostile().to_annotations().splitlines()
    assert len(lines) == 6
    assert all(line.startswith("::warning file=house-by-the-mill.xlsx,") for line in lines)
    works = CheckResult(report_of([], {}))
    assert works.to_annotations() == "::notice title=compat check::all works: 0 circuits\n"


def test_the_workbook_comes_back_with_columns_and_sheets(house: CheckResult) -> None:
    before = openpyxl.load_workbook(HOUSE)
    after = openpyxl.load_workbook(io.BytesIO(house.to_xlsx()))
    assert after.sheetnames == [*before.sheetnames, "findings", "needs", "questions"]
    old, new = before["Circuits"], after["Circuits"]
    assert [[cell.value for cell in row] for row in old.iter_rows()] == [
        [cell.value for cell in row[: old.max_column]] for row in new.iter_rows()
    ]
    added = range(old.max_column + 1, old.max_column + 6)
    assert [new.cell(3, column).value for column in added] == ["verdict", "expected", "why", "change", "ask"]
    fan = next(row for row in range(4, new.max_row + 1) if new.cell(row, 1).value == "G10")
    assert new.cell(fan, old.max_column + 1).value == "hazard"
    assert new.cell(fan, old.max_column + 3).value == "A motor is on a dimmer that is not listed for motors."
    assert after["questions"].max_row > 20


def test_text_in_the_workbook_never_becomes_a_formula() -> None:
    book = openpyxl.load_workbook(io.BytesIO(hostile().to_xlsx()))
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row if cell.value is not None]
    assert "=1+1" in {cell.value for cell in cells}
    assert not [cell for cell in cells if cell.data_type == "f"]


def test_formulas_of_the_user_stay_as_they_are(tmp_path: Path) -> None:
    path = tmp_path / "own.xlsx"
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    for row in (["Circuit", "Quantity", "Load type", "Input power (W)"], ["A1", 1, "incandescent", 40]):
        sheet.append(row)
    sheet["F2"] = "=D2*2"
    book.save(path)
    after = openpyxl.load_workbook(io.BytesIO(api.check(path).to_xlsx()))
    own = after[after.sheetnames[0]]
    assert (own["F2"].value, own["F2"].data_type) == ("=D2*2", "f")
    assert own["G1"].value == "verdict"


def test_another_schedule_gives_the_sheets_alone() -> None:
    book = openpyxl.load_workbook(io.BytesIO(api.check(HOUSE.with_suffix(".csv")).to_xlsx()))
    assert book.sheetnames == ["circuits", "findings", "needs", "questions"]


def test_two_runs_give_the_same_bytes(house: CheckResult) -> None:
    first, second = house.to_xlsx(), house.to_xlsx()
    assert first == second
    with zipfile.ZipFile(io.BytesIO(first)) as package:
        assert {entry.date_time[0] for entry in package.infolist()} == {1980}
    sample = CheckResult(sample_report())
    assert [sample.to_csv(), sample.to_sarif()] == [sample.to_csv(), sample.to_sarif()]
