"""What is expected of control lines where a schedule says no more than schedules mostly do."""

from __future__ import annotations

from pathlib import Path

import pytest

import compat
from compat.report.states import line_counts

HEADINGS = "Circuit,Room,Type,Quantity,Watts,Dimming"
ROWS = (
    ("1,Hall,Downlight,6,8,Trailing edge", ""),
    ("2,Living,LED strip,1,72,DALI", "D1"),
    ("3,Kitchen,Downlight,8,9,0-10V", "P1"),
    ("4,Utility,Batten,2,20,Switched", ""),
    ("5,Terrace,RGB flood,4,30,DMX", "X1"),
    ("6,Bedroom,Wall light,4,5,Trailing edge", ""),
    ("7,Dining,Pendant,1,25,1-10V", "P2"),
    ("8,Stairs,Step lights,10,2,DALI", "D1"),
)


def checked(folder: Path, *, lines: bool) -> compat.CheckResult:
    rows = [f"{row},{line}" if lines else row for row, line in ROWS]
    path = folder / "house.csv"
    path.write_text("\n".join([HEADINGS + (",Line" if lines else ""), *rows]), encoding="utf-8")
    return compat.check(path)


@pytest.mark.parametrize("lines", [False, True], ids=["proposed", "named"])
def test_lines_of_a_plain_schedule_are_expected_to_work(lines: bool, tmp_path: Path) -> None:
    report = checked(tmp_path, lines=lines).report
    assert line_counts(report) == [("expected to work", 4)]
    # An unknown is no pass: what nobody states of the lines is still asked for.
    assert {line.verdict for line in report.lines} == {"unproven"}
    assert sorted(name for line in report.lines for name in line.circuits) == ["2", "3", "5", "7", "8"]
    assert not any("is on no proposed line" in note for note in report.notes)


def test_a_pair_taken_as_wired_like_the_mains_is_not_asked_for_its_cable(tmp_path: Path) -> None:
    report = checked(tmp_path, lines=False).report
    assert any("a control pair is wired like mains wiring" in note for note in report.notes)
    asked = [question.name for line in report.lines for question in line.questions]
    assert asked
    assert "line.mains_rated_cable" not in asked


def test_a_line_is_expected_to_fail_where_usual_values_break_a_rule(tmp_path: Path) -> None:
    path = tmp_path / "house.csv"
    rows = [f"{number},Room,Downlight,35,9,DALI,D1" for number in (1, 2)]
    path.write_text("\n".join([HEADINGS + ",Line", *rows]), encoding="utf-8")
    (line,) = compat.check(path).report.lines
    assert line.expected is not None
    assert (line.expected.verdict, line.expected.slug) == ("fails", "dali-line-gear-addresses-above-64")
    assert "70 short addresses" in line.expected.because


def verdicts(folder: Path, *rows: str) -> list[tuple[str, str]]:
    """Verdict and expected rule of each circuit of a schedule without column for the colour wanted."""
    path = folder / "house.csv"
    path.write_text("\n".join([f"{HEADINGS},Output", *rows]), encoding="utf-8")
    circuits = compat.check(path).report.circuits
    return [(one.expected.verdict, one.expected.slug or "") for one in circuits if one.expected]


def test_who_buys_tunable_white_wants_it_set(tmp_path: Path) -> None:
    """A broadcast controller that sends no colour was expected to work with tunable white."""
    assert verdicts(tmp_path, "1,Living,Tunable white downlight,20,12,DALI,O0040") == [
        ("fails", "colour-not-commanded")
    ]
    assert verdicts(tmp_path, "1,Living,Tunable white downlight,20,12,DALI,O0072") == [("works", "")]
    assert verdicts(tmp_path, "1,Hall,RGBW strip,2,40,DALI DT8,O0044") == [("works", "")]
    assert verdicts(tmp_path, "1,Living,Downlight,20,12,DALI,O0040") == [("works", "")]
