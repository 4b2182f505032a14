"""Lines proposed for a schedule that names none, through the engine."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from compat.dataset.overlay import read_setting
from compat.dataset.read import Dataset
from compat.engine.check import Check
from compat.model.report import Report
from compat.model.schedule import Schedule, ScheduleRow
from compat.plan.proposal import with_proposed_lines
from compat.rulebook.rules import ParsedRule

DALI_DRIVER = "D0033"
DALI_OUTPUT = "O0042"


def schedule_of(*rows: tuple[str, str, int], line: str | None = None) -> Schedule:
    """Circuits of DALI gear: name, room, number of drivers."""
    made = [
        ScheduleRow(number, name, count, room, "downlight", DALI_DRIVER, DALI_OUTPUT, line=line)
        for number, (name, room, count) in enumerate(rows)
    ]
    return Schedule("made.csv", "", tuple(made))


@pytest.fixture
def check(dataset: Dataset, rules: list[ParsedRule]) -> Check:
    assert dataset.tables["drivers"][DALI_DRIVER].traits["dali_addresses"].content is not None
    return Check(dataset, rules, read_setting(dataset, None, None))


def proposed(check: Check, schedule: Schedule) -> Report:
    return with_proposed_lines(check, check.circuits(schedule), check.report(schedule))


def test_circuits_of_a_room_share_a_line_within_the_spare_share(check: Check) -> None:
    """64 addresses with 20 % spare are 51: two rooms of 2 x 20 need two lines, a room each."""
    schedule = schedule_of(("A1", "hall", 20), ("B1", "study", 20), ("A2", "hall", 20), ("B2", "study", 20))
    report = proposed(check, schedule)
    assert sorted(sorted(line.circuits) for line in report.lines) == [["A1", "A2"], ["B1", "B2"]]
    assert all(line.proposed for line in report.lines)
    assert any("2 are proposed" in note and "20%" in note for note in report.notes)


def test_one_line_where_one_holds_them(check: Check) -> None:
    report = proposed(check, schedule_of(("A1", "hall", 20), ("B1", "study", 20)))
    assert [line.circuits for line in report.lines] == [["A1", "B1"]]


def test_nothing_is_proposed_where_a_line_is_named(check: Check) -> None:
    schedule = schedule_of(("A1", "hall", 20), line="L7")
    assert proposed(check, schedule).lines == check.report(schedule).lines
    assert [line.proposed for line in check.report(schedule).lines] == [False]


def test_a_circuit_larger_than_a_line_is_told_in_words(check: Check) -> None:
    report = proposed(check, schedule_of(("A1", "hall", 60)))
    assert report.lines == []
    told = [note for note in report.notes if "A1 is on no proposed line" in note]
    assert len(told) == 1
    assert "DALI addresses of control gear is 60" in told[0]
    assert "dali_addresses" not in told[0]


def test_the_order_of_the_rows_changes_nothing(check: Check) -> None:
    schedule = schedule_of(("A1", "hall", 30), ("B1", "study", 15), ("C1", "loft", 25), ("D1", "hall", 9))
    turned = replace(schedule, rows=tuple(reversed(schedule.rows)))
    first, second = proposed(check, schedule), proposed(check, turned)
    assert sorted(sorted(line.circuits) for line in first.lines) == sorted(
        sorted(line.circuits) for line in second.lines
    )


def test_no_line_without_a_circuit_on_one(check: Check, tmp_path: Path) -> None:
    row = ScheduleRow(1, "A", 2, "hall", "lamp", "D0002", "O0007")
    report = proposed(check, Schedule(str(tmp_path / "made.csv"), "", (row,)))
    assert report.lines == []
    assert not any("proposed" in note for note in report.notes)
