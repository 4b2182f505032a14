"""The sheet Project of a schedule's workbook: what it states goes before what is usual."""

from __future__ import annotations

from pathlib import Path

import openpyxl
import pytest

import compat
from compat import api
from compat.intake.template import write_template
from compat.model.faults import BadInput

LINES = ("Country", "Supply", "Breaker", "Residual-current device (mA)", "Usual installation")


@pytest.fixture
def template(tmp_path: Path) -> Path:
    path = tmp_path / "house.xlsx"
    known = compat.load_dataset()
    ids = list(known.tables["drivers"]), list(known.tables["outputs"])
    write_template(path, "xlsx", known.vocabulary, *ids, api.project_lists(known))
    return path


def filled(path: Path, **answers: str) -> Path:
    book = openpyxl.load_workbook(path)
    sheet = book["Project"]
    for row in sheet.iter_rows(min_row=2, max_col=2):
        for key, text in answers.items():
            if row[0].value == next(line for line in LINES if line.casefold().startswith(key)):
                row[1].value = text
    book.save(path)
    return path


def supply(path: Path) -> dict[str, str]:
    return {one.name: one.text for one in compat.check(path).report.supply}


def test_the_template_asks_and_offers_lists(template: Path) -> None:
    sheet = openpyxl.load_workbook(template)["Project"]
    assert tuple(row[0].value for row in sheet.iter_rows(min_row=2)) == LINES
    assert len(sheet.data_validations.dataValidation) == 4


def test_an_empty_sheet_changes_nothing(template: Path) -> None:
    report = compat.check(template).report
    assert supply(template)["supply.voltage_v"] == "230 V"
    assert any("this is taken as so" in note for note in report.notes)


def test_country_breaker_and_residual_current_device_are_taken(template: Path) -> None:
    found = supply(
        filled(template, country="us", breaker="Circuit-breaker, curve C, 16 A", residual="100 mA")
    )
    assert found["supply.voltage_v"] == "120 V"
    assert found["supply.rcd_rated_current_ma"] == "100 mA"
    assert found["breaker.rated_current_a"] == "16 A"


def test_a_supply_goes_before_the_country(template: Path) -> None:
    assert supply(filled(template, country="us", supply="U0001"))["supply.voltage_v"] == "230 V"


def test_what_is_usual_may_be_refused(template: Path) -> None:
    report = compat.check(filled(template, usual="no")).report
    assert not [note for note in report.notes if note.startswith("No project file, so this is taken")]


@pytest.mark.parametrize(
    ("line", "text", "allowed"),
    [
        ("country", "xx", "gb"),
        ("breaker", "C99", "id or a name"),
        ("residual", "lots", "mA"),
        ("usual", "?", "yes"),
    ],
)
def test_what_cannot_be_used_is_told_with_its_cell(
    template: Path, line: str, text: str, allowed: str
) -> None:
    with pytest.raises(BadInput) as raised:
        compat.check(filled(template, **{line: text}))
    fault = raised.value.faults[0]
    assert fault.where is not None
    assert fault.where.sheet == "Project"
    assert fault.where.cell == f"B{2 + [one.casefold().startswith(line) for one in LINES].index(True)}"
    assert allowed in fault.allowed


def test_a_stated_country_is_not_overruled_by_rated_voltages(tmp_path: Path) -> None:
    """Lamps of 120 V in a house said to be in Great Britain are on the wrong supply."""
    book = openpyxl.Workbook()
    circuits, project = book.active, book.create_sheet("Project")
    circuits.append(["Circuit", "Room", "Luminaire", "Qty", "W", "Voltage", "Control"])
    circuits.append(["1", "Den", "LED lamp E27", 2, 9, "120 V", "switched"])
    for line in (["What", "Value"], ["Country", "gb"]):
        project.append(line)
    path = tmp_path / "den.xlsx"
    book.save(path)
    assert compat.check(path).circuit("1").verdict == "hazard"
    assert supply(path)["supply.voltage_v"] == "230 V"
