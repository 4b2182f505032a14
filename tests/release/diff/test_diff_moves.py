"""Which verdicts moved on a schedule: grouped by rule and by from and to, with the circuits named."""

from __future__ import annotations

from pathlib import Path

import pytest

from compat.model.changes import Changes, Move, ScheduleMoves
from compat.model.faults import BadInput
from compat.release.diff import dataset_changes
from compat.release.verdict_moves import ScheduleInputs
from tests.checks.parts import MINIMUM, MOTOR, NEUTRAL
from tests.cli.parts import CIRCUITS, HEAD, OUTPUTS, rules_of_three
from tests.conftest import ROOT
from tests.dataset.parts import copied_dataset
from tests.release.diff.editions import Edit, Editions, copied, swap, told, version

HOUSE = ROOT / "datasets" / "demo" / "house.xlsx"
TRAITS = """\
[output.traits]
method = "reverse_phase"
switching_element = "transistor"
needs_neutral = false
listed_load_types = ["incandescent"]
min_load_w = """
Row = tuple[str, str, str, str, tuple[str, ...]]


@pytest.fixture(scope="module")
def three_rules(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return rules_of_three(tmp_path_factory.mktemp("three"))


@pytest.fixture
def whole(three_rules: Path, tmp_path: Path) -> Editions:
    """Two editions with three rules and all that a setting names."""
    return copied(three_rules, tmp_path)


@pytest.fixture
def work(tmp_path: Path) -> ScheduleInputs:
    """A schedule with a circuit of each verdict, and the outputs it names."""
    schedule, outputs = tmp_path / "made.csv", tmp_path / "outputs.toml"
    schedule.write_text(HEAD + "".join(CIRCUITS.values()), encoding="utf-8")
    outputs.write_text(OUTPUTS, encoding="utf-8")
    return ScheduleInputs(schedule, outputs=outputs)


def rows(schedule: ScheduleMoves) -> list[Row]:
    return [(m.level, m.rule, m.old, m.new, tuple(m.where)) for m in schedule.moves]


def moved(editions: Editions, work: ScheduleInputs, *edits: Edit) -> tuple[Changes, ScheduleMoves]:
    for edit in edits:
        edit(editions.new)
    changes = editions.changes([work])
    (schedule,) = changes.schedules
    return changes, schedule


def test_nothing_moves_between_equal_editions(whole: Editions, work: ScheduleInputs) -> None:
    changes, schedule = moved(whole, work)
    assert schedule.moves == []
    assert (schedule.circuits, schedule.belongs_to) == (5, "user")
    assert changes.version_step.needed == "none"


def test_a_higher_limit_moves_the_circuits_it_catches(whole: Editions, work: ScheduleInputs) -> None:
    """The output needs 20 W; twice that is met by 40 W and not by 15 to 25 W."""
    edit = swap(MINIMUM, 'at_least = "output.min_load_w"', 'at_least = "output.min_load_w * 2"')
    changes, schedule = moved(whole, work, edit)
    assert [row for row in rows(schedule) if row[0] in ("circuit", "finding")] == [
        ("circuit", "R0007", "marginal", "fails", ("M1",)),
        ("finding", "R0007", "marginal", "fails", ("M1",)),
    ]
    assert changes.version_step.needed == "minor"


def test_a_graver_breach_is_told_from_and_to(whole: Editions, work: ScheduleInputs) -> None:
    _, schedule = moved(whole, work, swap(NEUTRAL, 'breach = "fails"', 'breach = "hazard"'))
    assert ("circuit", "R0033", "fails", "hazard", ("F1",)) in rows(schedule)
    assert ("finding", "R0033", "fails", "hazard", ("F1",)) in rows(schedule)


def test_a_withdrawn_rule_leaves_no_finding(whole: Editions, work: ScheduleInputs) -> None:
    text = 'status = "withdrawn"\nwithdrawn_because = "Made."\nsuperseded_by = ["R0007"]'
    changes, schedule = moved(whole, work, swap(NEUTRAL, 'status = "stable"', text))
    assert ("circuit", "R0033", "fails", "works", ("F1",)) in rows(schedule)
    assert ("finding", "R0033", "fails", "no_finding", ("F1",)) in rows(schedule)
    assert changes.version_step.needed == "minor"


def test_a_rule_that_held_and_is_gone_is_no_news(whole: Editions, work: ScheduleInputs) -> None:
    text = 'status = "withdrawn"\nwithdrawn_because = "Made."\nsuperseded_by = ["R0033"]'
    _, schedule = moved(whole, work, swap(MINIMUM, 'status = "stable"', text))
    assert ("finding", "R0007", "marginal", "no_finding", ("M1",)) in rows(schedule)
    assert not any({move.old, move.new} == {"works", "no_finding"} for move in schedule.moves)


def test_the_groups_hold_every_circuit_that_moved(whole: Editions, work: ScheduleInputs) -> None:
    """Every pair of a circuit and its from and to stands in one group, and the counts add up."""
    edit = swap(MOTOR, 'breach = "hazard"', 'breach = "fails"')
    _, schedule = moved(whole, work, edit)
    assert ("circuit", "R0003", "hazard", "fails", ("H1",)) in rows(schedule)
    assert all(move.count == len(move.where) == len(set(move.where)) for move in schedule.moves)
    keys = [(m.level, m.rule, m.old, m.new) for m in schedule.moves]
    assert len(keys) == len(set(keys))


def test_a_preview_moves_no_stable_verdict(whole: Editions, work: ScheduleInputs) -> None:
    for root in (whole.old, whole.new):
        swap(NEUTRAL, 'status = "stable"', 'status = "preview"')(root)
    edit = swap(NEUTRAL, 'breach = "fails"', 'breach = "hazard"')
    changes, schedule = moved(whole, work, edit)
    assert {move.rule: move.stable for move in schedule.moves} == {"R0033": False}
    assert changes.version_step.needed == "patch"
    assert told(changes) == [("rule", "R0033", "tightened", "patch")]


def test_a_table_that_changed_moves_verdicts_too(three_rules: Path, tmp_path: Path) -> None:
    """An output of the dataset needs less load than before, so a small load works on it."""
    editions = copied(three_rules, tmp_path)
    for root, least in ((editions.old, 20), (editions.new, 5)):
        table = f'schema = "outputs/1"\n[[output]]\nid = "O0900"\nname = "Made"\n{TRAITS}{least}\n'
        (root / "datasets" / "outputs" / "made.toml").write_text(table, encoding="utf-8")
    schedule = tmp_path / "made.csv"
    schedule.write_text(f"{HEAD}A1,1,O0900,incandescent,10,yes\n", encoding="utf-8")
    changes, found = moved(editions, ScheduleInputs(schedule))
    assert told(changes) == [("output", "O0900", "changed", "minor")]
    assert ("circuit", "R0007", "fails", "works", ("A1",)) in rows(found)
    assert changes.version_step.needed == "minor"


def test_a_schedule_that_one_edition_cannot_read_is_told(three_rules: Path, tmp_path: Path) -> None:
    editions = copied(three_rules, tmp_path)
    schedule = tmp_path / "made.csv"
    schedule.write_text("Circuit,Quantity,Output\nA1,1,O0048\n", encoding="utf-8")
    swap("datasets/outputs/dmx.toml", '"O0048"', '"O0948"')(editions.new)
    changes, found = moved(editions, ScheduleInputs(schedule))
    assert found.old_refused == []
    assert len(found.new_refused) == 1
    assert "O0048" in found.new_refused[0]
    assert found.moves == []
    assert changes.version_step.needed == "major"


def test_a_schedule_that_neither_edition_can_read_is_bad_input(whole: Editions, tmp_path: Path) -> None:
    with pytest.raises(BadInput) as caught:
        whole.changes([ScheduleInputs(tmp_path / "missing.csv")])
    assert "there is no such file" in caught.value.faults[0].sentence()


def test_the_reference_schedule_is_that_of_the_demo(tmp_path: Path) -> None:
    """The whole dataset, with the minimum load of every rule raised: the demo's circuits are named."""
    editions = copied_whole(tmp_path)
    swap(MINIMUM, 'at_least = "output.min_load_w"', 'at_least = "output.min_load_w * 4"')(editions.new)
    changes = dataset_changes(str(editions.old), str(editions.new))
    (schedule,) = changes.schedules
    assert (schedule.schedule, schedule.belongs_to) == (HOUSE.name, "program")
    assert schedule.circuits > 20
    worse = [move for move in schedule.moves if move.rule == "R0007" and move.level == "finding"]
    assert worse
    assert all(move.new in ("marginal", "fails") for move in worse)
    assert told(changes) == [("rule", "R0007", "tightened", "minor")]


def copied_whole(folder: Path) -> Editions:
    source = folder / "source"
    source.mkdir()
    return copied(copied_dataset(source), folder)


def test_moves_are_in_a_fixed_order(whole: Editions, work: ScheduleInputs) -> None:
    edits = [swap(NEUTRAL, 'breach = "fails"', 'breach = "hazard"'), version("1.5.0")]
    _, schedule = moved(whole, work, *edits)
    again = whole.changes([work]).schedules[0]
    assert schedule == again
    levels: list[Move] = schedule.moves
    order = ["circuit", "line", "finding", "output"]
    assert [order.index(move.level) for move in levels] == sorted(order.index(m.level) for m in levels)
