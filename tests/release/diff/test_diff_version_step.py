"""The step between two versions against the step that the changes need."""

from __future__ import annotations

import itertools

import pytest

from compat.model.changes import STEPS, Change, Move, ScheduleMoves, Step
from compat.model.faults import BadInput
from compat.release.diff import greatest, step_taken, stepped, version_step
from tests.release.diff.editions import BEFORE, Editions, version


def change(step: Step) -> Change:
    return Change(part="rule", id="R0900", kind="changed", step=step, why="made")


def moved(stable: bool) -> ScheduleMoves:
    move = Move(
        level="circuit",
        rule="R0900",
        slug="made",
        old="works",
        new="fails",
        stable=stable,
        count=1,
        where=["C1"],
    )
    return ScheduleMoves(schedule="made.csv", sha256="", belongs_to="user", circuits=1, lines=0, moves=[move])


@pytest.mark.parametrize(
    ("to", "taken", "enough_for"),
    [
        ("1.4.2", "none", ["none"]),
        ("1.4.3", "patch", ["none", "patch"]),
        ("1.4.10", "patch", ["none", "patch"]),
        ("1.5.0", "minor", ["none", "patch", "minor"]),
        ("1.10.0", "minor", ["none", "patch", "minor"]),
        ("2.0.0", "major", ["none", "patch", "minor", "major"]),
        ("1.4.1", "back", []),
        ("1.3.9", "back", []),
        ("0.9.9", "back", []),
    ],
)
def test_a_step_suffices_or_is_too_small(to: str, taken: str, enough_for: list[Step]) -> None:
    for needed in STEPS:
        step = version_step(BEFORE, to, [change(needed)], [])
        assert (step.needed, step.taken) == (needed, taken)
        assert step.suffices == (needed in enough_for)


def test_the_least_version_is_one_step_on() -> None:
    assert [stepped((1, 4, 2), step) for step in STEPS] == ["1.4.2", "1.4.3", "1.5.0", "2.0.0"]
    for step in STEPS:
        assert version_step(BEFORE, stepped((1, 4, 2), step), [change(step)], []).suffices


def test_versions_are_ordered_as_numbers() -> None:
    """Semantic Versioning 2.0.0, clause 11: 1.0.0 < 2.0.0 < 2.1.0 < 2.1.1."""
    rising = [(1, 0, 0), (2, 0, 0), (2, 1, 0), (2, 1, 1), (2, 10, 0)]
    for low, high in itertools.combinations(rising, 2):
        assert step_taken(low, high) != "back"
        assert step_taken(high, low) == "back"


def test_the_greatest_step_counts() -> None:
    assert greatest([]) == "none"
    assert greatest(["patch", "major", "minor"]) == "major"
    assert greatest(["patch", "none"]) == "patch"


@pytest.mark.parametrize(
    "text", ["1.4", "1.4.2.1", "v1.4.2", "1.04.2", "1.4.2-rc", "", "1.4.²", "9" * 12 + ".0.0"]
)
def test_a_version_of_another_form_is_refused(text: str, editions: Editions) -> None:
    with pytest.raises(BadInput) as caught:
        editions.after(version(text))
    (fault,) = caught.value.faults
    assert "Allowed: three numbers as in 1.4.0" in fault.sentence()


def test_a_stable_verdict_that_moved_takes_a_minor_step() -> None:
    """Whatever the changes say by themselves, a verdict that did move is proof."""
    step = version_step(BEFORE, "1.4.3", [change("patch")], [moved(stable=True)])
    assert (step.needed, step.suffices) == ("minor", False)
    assert step.because == ["verdicts moved on made.csv"]


def test_a_verdict_of_a_preview_that_moved_takes_none() -> None:
    step = version_step(BEFORE, "1.4.3", [change("patch")], [moved(stable=False)])
    assert (step.needed, step.suffices) == ("patch", True)


def test_the_version_alone_may_go_up(editions: Editions) -> None:
    changes = editions.after(version("1.5.0"))
    assert changes.entries == []
    assert (changes.version_step.needed, changes.version_step.taken) == ("none", "minor")
    assert changes.version_step.suffices


def test_a_version_that_goes_back_is_never_enough(editions: Editions) -> None:
    changes = editions.after(version("1.4.1"))
    assert changes.version_step.needed == "none"
    assert not changes.version_step.suffices
