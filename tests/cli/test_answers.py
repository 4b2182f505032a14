"""The workbook of questions: written, filled in, read back; the verdicts move as it promised."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import openpyxl
import pytest
from openpyxl.worksheet.worksheet import Worksheet

from compat import BadInput, api
from compat.model.answers import ABOUT, ANSWER, HEADINGS, TAKEN, VALUE
from compat.model.report import CircuitReport
from compat.model.verdicts import RANK

ROWS = """\
Circuit,Room,Type,Quantity,Watts,Dimming,Output
1,Kitchen,LED downlight,8,9,Trailing edge,O0006
2,Living,LED strip,1,72,DALI,
4,Bath,IP65 downlight,4,10,non-dim,
7,Dining,Pendant,1,25,1-10V,
"""
Fill = Callable[[str, str, str], str | None]


@pytest.fixture
def schedule(tmp_path: Path) -> Path:
    path = tmp_path / "house.csv"
    path.write_text(ROWS, encoding="utf-8")
    return path


def answered(schedule: Path, fill: Fill) -> list[CircuitReport]:
    """The circuits judged anew, with what ``fill`` answers to value, about and what is taken until then."""
    book = schedule.with_name("questions.xlsx")
    book.write_bytes(api.check(schedule).to_questions())
    opened = openpyxl.load_workbook(book)
    for sheet in opened:
        for row in sheet.iter_rows(min_row=5):
            cells = dict(zip(HEADINGS, row, strict=True))
            told = fill(*(str(cells[name].value or "") for name in (VALUE, ABOUT, TAKEN)))
            cells[ANSWER].value = told
    opened.save(book)
    return list(api.check(schedule, answers=book).report.circuits)


def test_what_was_taken_for_granted_said_aloud_proves_what_was_expected(schedule: Path) -> None:
    before = api.check(schedule).report.circuits
    after = answered(schedule, lambda value, about, taken: taken.replace(" and perhaps forward phase", ""))
    assert [circuit.verdict for circuit in before] == ["unproven"] * 4
    for was, now in zip(before, after, strict=True):
        assert was.expected is not None
        assert now.expected is None or now.expected.verdict == was.expected.verdict
        assert len(now.questions) < len(was.questions) / 3
        assert RANK[now.verdict] <= RANK["unproven"]


@pytest.mark.parametrize(("amperes", "verdict"), [("0.10 A", "works"), ("0.12 A", "hazard")])
def test_an_answer_decides_where_the_question_said(schedule: Path, amperes: str, verdict: str) -> None:
    (question,) = [
        one
        for one in api.check(schedule).report.circuits[0].questions
        if one.name == "driver.input_current_a"
    ]
    assert question.decides == "up to 0.11 A each"
    after = answered(schedule, lambda value, about, taken: amperes if value == question.name else None)
    (found,) = [one for one in after[0].findings if one.slug == "current-above-rating"]
    assert found.verdict == verdict
    assert any(one.place and one.place.file == "questions.xlsx" for one in found.inputs)


def test_an_answer_on_an_output_and_on_the_installation_counts(schedule: Path) -> None:
    def fill(value: str, about: str, taken: str) -> str | None:
        answers = {"output.max_apparent_power_va": "150", "circuit.rcd_members_known": "yes"}
        return answers.get(value)

    before = {one.name for one in api.check(schedule).report.circuits[0].questions}
    after = answered(schedule, fill)
    assert "output.max_apparent_power_va" in before - {one.name for one in after[0].questions}
    assert "circuit.rcd_members_known" in before - {one.name for one in after[0].questions}


def faults(schedule: Path, change: Callable[[Worksheet], None]) -> list[str]:
    book = schedule.with_name("questions.xlsx")
    book.write_bytes(api.check(schedule).to_questions())
    opened = openpyxl.load_workbook(book)
    change(opened.worksheets[0])
    opened.save(book)
    with pytest.raises(BadInput) as refused:
        api.check(schedule, answers=book)
    return [fault.sentence() for fault in refused.value.faults]


def test_a_cell_that_cannot_be_read_is_told_with_its_place(schedule: Path) -> None:
    column = HEADINGS.index(ANSWER) + 1

    def spoil(sheet: Worksheet) -> None:
        for row in range(5, sheet.max_row + 1):
            if sheet.cell(row, HEADINGS.index(VALUE) + 1).value == "driver.input_voltage_max_v":
                sheet.cell(row, column).value = "plenty"

    (told,) = faults(schedule, spoil)
    assert "cell E" in told
    assert "plenty" in told


def test_a_sheet_without_its_headings_is_refused(schedule: Path) -> None:
    def spoil(sheet: Worksheet) -> None:
        for other in sheet.parent.worksheets:
            other.delete_rows(1, 4)

    (told,) = faults(schedule, spoil)
    assert "there is no sheet of questions" in told
    assert "--questions" in told
