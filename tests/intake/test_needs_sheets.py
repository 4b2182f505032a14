"""What the house needs, from sheets of the schedule's workbook: read whole, or told with the cell."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import xlsxwriter  # type: ignore[import-untyped]

from compat import api
from compat.dataset.read import Dataset
from compat.intake.needs_sheets import QUESTIONS, SHEETS, joined, read_needs
from compat.intake.template import write_template
from compat.model.faults import BadInput
from compat.model.needs import Button, Clock, Needs, PanelPlace, Scene, Sensor, WallControl

Sheets = dict[str, list[list[Any]]]
HEADINGS = {sheet.name: [column.heading for column in sheet.columns] for sheet in SHEETS}
FILLED: Sheets = {
    "Needs": [
        ["Installation", "New build"], ["Phases", 3], ["Farthest room (m)", 21.5], ["Conditions", "none"],
        ["Spare outputs (%)", 25], ["Owner changes things", "no"], ["Circuits added later", 4],
    ],
    "Panel places": [["Plant room", 144, 120, "Hall; Kitchen"], ["Loft"]],
    "Wall controls": [
        ["K1", "Hall", "by the door", "yes", "Evening", "scene Evening", "", "dim"],
        ["K1", "", "", "", "Off", "all off", "everything off"],
        ["K2", "Kitchen"],
    ],
    "Scenes": [["Evening", "G1", 40, 4], ["Evening", "G2", 60], ["Night"]],
    "Clock events": [["Garden", "sun", "sunset", "scene Garden"]],
    "Sensors": [["Hall", "presence", "hall lights"]],
    "Shades": [["none"]],
}  # fmt: skip


def workbook(path: Path, sheets: Sheets) -> Path:
    with xlsxwriter.Workbook(path) as book:
        book.add_worksheet("Circuits").write_row(0, 0, ["Circuit", "Room", "Luminaire type", "Quantity"])
        book.get_worksheet_by_name("Circuits").write_row(1, 0, ["G1", "Hall", "Lamp", 2])
        for name, rows in sheets.items():
            sheet = book.add_worksheet(name)
            for number, row in enumerate([HEADINGS[name], *rows]):
                sheet.write_row(number, 0, row)
    return path


def test_every_sheet_is_read(tmp_path: Path, dataset: Dataset) -> None:
    found = read_needs(workbook(tmp_path / "a.xlsx", FILLED), dataset.vocabulary)
    assert found == Needs(
        installation="new_build",
        phases=3,
        farthest_room_m=21.5,
        conditions=[],
        spare_share=0.25,
        owner_changes=False,
        added_circuits=4,
        panels=[
            PanelPlace(name="Plant room", rail_units=144, heat_most_w=120, rooms=["Hall", "Kitchen"]),
            PanelPlace(name="Loft"),
        ],
        wall_controls=[
            WallControl(
                name="K1",
                room="Hall",
                position="by the door",
                neutral=True,
                buttons=[
                    Button(engraving="Evening", press="scene Evening", hold="dim"),
                    Button(engraving="Off", press="all off", double="everything off"),
                ],
            ),
            WallControl(name="K2", room="Kitchen"),
        ],
        scenes=[Scene(name="Evening", levels={"G1": 40, "G2": 60}, fade_s=4), Scene(name="Night")],
        clocks=[Clock(name="Garden", by="sun", when="sunset", does="scene Garden")],
        sensors=[Sensor(room="Hall", kind="presence", does="hall lights")],
        shades=[],
    )


def test_the_sheets_are_no_circuits(tmp_path: Path) -> None:
    report = api.check(workbook(tmp_path / "a.xlsx", FILLED)).report
    assert [circuit.circuit for circuit in report.circuits] == ["G1"]
    assert not any(sheet in note for note in report.notes for sheet in HEADINGS)


def test_an_empty_template_says_nothing(tmp_path: Path, dataset: Dataset) -> None:
    path = tmp_path / "template.xlsx"
    write_template(path, "xlsx", dataset.vocabulary, ["D0001"], ["O0001"])
    assert read_needs(path, dataset.vocabulary) == Needs()
    assert len({column.heading for column in QUESTIONS}) == len(QUESTIONS)


@pytest.mark.parametrize(
    ("sheet", "row", "told"),
    [
        (
            "Needs",
            ["Installation", "old"],
            "cell B2: 'old' is not allowed. Allowed: new build",
        ),
        ("Needs", ["Fases", 3], "sheet Needs, cell A2: 'Fases' is none of the needs. Nearest: Phases"),
        (
            "Scenes",
            ["Evening", "G1", 140],
            "cell C2: '140' is not allowed. Allowed: a number from 0 to 100",
        ),
        (
            "Shades",
            ["Hall", "shade", 1.5],
            "cell C2: '1.5' is not allowed. Allowed: a whole number",
        ),
        ("Sensors", ["", "presence"], "sheet Sensors, cell A2: the room is missing"),
    ],
)
def test_a_fault_is_told_with_its_cell(
    sheet: str, row: list[Any], told: str, tmp_path: Path, dataset: Dataset
) -> None:
    with pytest.raises(BadInput) as caught:
        read_needs(workbook(tmp_path / "a.xlsx", {sheet: [row]}), dataset.vocabulary)
    assert any(told in fault.sentence() for fault in caught.value.faults), str(caught.value)


def test_a_sheet_goes_before_the_project_file() -> None:
    own = Needs(phases=1, scene_count=4, sensors=[])
    assert joined(own, Needs(phases=3)) == Needs(phases=3, scene_count=4, sensors=[])
    assert joined(None, Needs(phases=3)) == Needs(phases=3)
