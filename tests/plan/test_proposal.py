"""Lines proposed for a schedule that names none, through the engine."""

from __future__ import annotations

import random
from dataclasses import replace
from pathlib import Path

import pytest

from compat.dataset.overlay import read_setting
from compat.dataset.read import Dataset
from compat.engine.check import Check
from compat.model.report import Input, LineReport, Report
from compat.model.schedule import Schedule, ScheduleRow
from compat.model.values import Interval, TokenSet, Trait
from compat.planning.proposal import line_outputs, with_proposed_lines
from compat.rulebook.rules import ParsedRule

DALI_DRIVER = "D0033"
DALI_OUTPUT = "O0042"


def schedule_of(
    *rows: tuple[str, str, int], line: str | None = None, output: str | None = DALI_OUTPUT
) -> Schedule:
    """Circuits of DALI gear: name, room, number of drivers."""
    made = [
        ScheduleRow(number, name, count, room, "downlight", DALI_DRIVER, output, line=line)
        for number, (name, room, count) in enumerate(rows)
    ]
    return Schedule("made.csv", "", tuple(made))


def dmx(slots: int) -> dict[str, Trait]:
    return {
        "methods": Trait(TokenSet.exactly("dmx")),
        "dmx_slots": Trait(Interval(slots, slots)),
        "dmx_unit_loads": Trait(Interval(0.25, 0.25)),
    }


def inputs_of(line: LineReport, name: str) -> list[Input]:
    return [entry for finding in line.findings for entry in finding.inputs if entry.name == name]


@pytest.fixture
def check(dataset: Dataset, rules: list[ParsedRule]) -> Check:
    assert dataset.tables["drivers"][DALI_DRIVER].traits["dali_addresses"].content is not None
    return Check(dataset, rules, read_setting(dataset, None, None))


def proposed(check: Check, schedule: Schedule) -> Report:
    return with_proposed_lines(check, schedule, check.report(schedule))


def test_circuits_of_a_room_share_a_line_within_the_spare_share(check: Check) -> None:
    """64 addresses with 20 % spare are 51: two rooms of 2 x 20 need two lines, a room each."""
    schedule = schedule_of(("A1", "hall", 20), ("B1", "study", 20), ("A2", "hall", 20), ("B2", "study", 20))
    report = proposed(check, schedule)
    assert sorted(sorted(line.circuits) for line in report.lines) == [["A1", "A2"], ["B1", "B2"]]
    assert all(line.proposed for line in report.lines)
    assert any("2 are proposed" in note and "20 %" in note for note in report.notes)


def test_one_line_where_one_holds_them(check: Check) -> None:
    report = proposed(check, schedule_of(("A1", "hall", 20), ("B1", "study", 20)))
    assert [line.circuits for line in report.lines] == [["A1", "B1"]]


def test_nothing_is_proposed_where_a_line_is_named(check: Check) -> None:
    schedule = schedule_of(("A1", "hall", 20), line="L7")
    assert proposed(check, schedule).lines == check.report(schedule).lines
    assert [line.proposed for line in check.report(schedule).lines] == [False]


def test_a_circuit_that_takes_the_spare_as_well_has_a_line_of_its_own(check: Check) -> None:
    report = proposed(check, schedule_of(("A1", "hall", 60), ("B1", "hall", 3)))
    assert [line.circuits for line in report.lines] == [["A1"], ["B1"]]
    assert (
        "Circuit A1 has a line of its own, without 20 % spare. It needs 60 of 64 (DALI addresses of "
        "control gear)." in report.notes
    )


def test_a_circuit_larger_than_a_line_is_told_in_words(check: Check) -> None:
    report = proposed(check, schedule_of(("A1", "hall", 70)))
    assert report.lines == []
    told = [note for note in report.notes if "A1 is on no proposed line" in note]
    assert told == ["Circuit A1 is on no proposed line. It needs 70 of 64 (DALI addresses of control gear)."]


def test_an_addressed_line_with_a_strong_supply_where_no_output_is_named(check: Check) -> None:
    """35 circuits of 2 gear: of all DALI outputs on offer the 240 mA addressed one, not 64 mA broadcast."""
    schedule = schedule_of(*((f"A{n}", f"room {n % 9}", 2) for n in range(35)), output=None)
    report = proposed(check, schedule)
    assert len(report.lines) == 2
    assert "2 are proposed (2 × DALI line on O0072)" in report.notes[-1]
    supplies = [
        entry.text for line in report.lines for entry in inputs_of(line, "line.dali_supply_guaranteed_ma")
    ]
    assert set(supplies) == {"250 mA"}


def test_what_the_project_states_of_all_lines_goes_before_the_output(check: Check) -> None:
    declared = {**check.setting.line_defaults, "dali_supply_guaranteed_ma": Trait(Interval(50, 60))}
    check = replace(check, setting=replace(check.setting, line_defaults=declared))
    report = proposed(check, schedule_of(("A1", "hall", 15), ("B1", "hall", 15)))
    assert [line.circuits for line in report.lines] == [["A1"], ["B1"]]


def test_an_unknown_demand_is_placed_by_usual_values_and_is_no_pass(check: Check) -> None:
    """By the word DALI alone gear may be of two channels; everyone reckons with one address each."""
    only_dali = {"methods": Trait(TokenSet.exactly("dali", "switched"))}
    schedule = schedule_of(("A1", "hall", 5))
    (row,) = schedule.rows
    report = proposed(check, replace(schedule, rows=(replace(row, driver_id=None, driver_traits=only_dali),)))
    (line,) = report.lines
    assert (line.verdict, line.expected and line.expected.verdict) == ("unproven", "works")
    assert report.notes[-1] == "Placed by usual values, which are no proof: A1."


def test_a_demand_that_is_not_even_usual_leaves_the_circuit_out(check: Check) -> None:
    of_many_colours = {
        "methods": Trait(TokenSet.exactly("dmx", "switched")), "colour": Trait("multi")
    }  # fmt: skip
    (row,) = schedule_of(("A1", "hall", 5)).rows
    row = replace(row, driver_id=None, output_id=None, driver_traits=of_many_colours)
    report = proposed(check, replace(schedule_of(), rows=(row,)))
    assert report.lines == []
    assert report.notes[-1] == "Circuit A1 is on no proposed line. Not known: DMX slots."


def test_circuits_of_zone_outputs_share_a_line_by_the_slots_it_sends(check: Check) -> None:
    rows = [
        ScheduleRow(n, f"Z{n}", 9, "garden", "strip", None, "O0048", driver_traits=dmx(slots))
        for n, slots in enumerate((3, 3, 1, 4))
    ]
    report = proposed(check, Schedule("made.csv", "", tuple(rows)))
    assert [line.circuits for line in report.lines] == [["Z0", "Z2"], ["Z1"], ["Z3"]]


def test_each_analogue_circuit_has_a_pair_of_its_own(check: Check) -> None:
    rows = [ScheduleRow(n, f"P{n}", 2, "hall", "linear", "D0045", "O0029") for n in range(3)]
    report = proposed(check, Schedule("made.csv", "", tuple(rows)))
    assert [line.circuits for line in report.lines] == [["P0"], ["P1"], ["P2"]]
    assert "no fewer are possible" in report.notes[-1]


@pytest.mark.parametrize("seed", range(6))
def test_the_rules_agree_with_every_line(seed: int, check: Check) -> None:
    """Each circuit once or left out with a note, and no rule that limits the sharing is broken."""
    rng = random.Random(seed)
    rows = [
        ScheduleRow(
            n,
            f"C{n}",
            rng.choice((1, 2, 5, 12, 30, 60)),
            f"room {rng.randrange(6)}",
            "lamp",
            rng.choice(("D0033", "D0034", "D0038", "D0055", "D0056")),
        )
        for n in range(25)
    ]
    schedule = Schedule("made.csv", "", tuple(rows))
    report = proposed(check, schedule)
    placed = [name for line in report.lines for name in line.circuits]
    left = [note.split()[1] for note in report.notes if "is on no proposed line" in note]
    assert sorted(placed + left) == sorted(line_outputs(check, check.report(schedule)))
    assert len(report.lines) > 1
    for line in report.lines:
        judged = {finding.rule: finding.verdict for finding in line.findings}
        limiting = {"R0120", "R0122", "R0160", "R0162"} & set(judged)
        assert limiting
        assert {judged[rule] for rule in limiting} == {"works"}
    turned = proposed(check, replace(schedule, rows=tuple(rng.sample(rows, len(rows)))))
    assert turned.lines == report.lines


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


def test_a_circuit_of_which_nobody_says_how_it_is_dimmed_has_no_line(check: Check) -> None:
    (row,) = schedule_of(("A1", "hall", 5)).rows
    row = replace(row, driver_id=None, output_id=None, driver_traits={})
    assert proposed(check, replace(schedule_of(), rows=(row,))).lines == []
