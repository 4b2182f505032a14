"""Schedules as practices send them: what is read is held against what they truly say."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from compat.intake.headings import Headings
from compat.model.faults import BadInput
from compat.model.schedule import Schedule, ScheduleRow
from compat.model.values import Content, Interval, TokenSet
from tests.intake.files import outcome, read, vocabulary
from tests.messy.held_out_cases import HELD_OUT
from tests.messy.more_cases import MORE
from tests.messy.practice_cases import CASES, Case, Line

LETTERS = {"F": "forward_phase", "R": "reverse_phase", "A": "analog_0_10v", "D": "dali", "X": "dmx"}
GRADES = ("right", "partly", "refused with cure", "wrong")


def has_words() -> bool:
    """Whether the headings of the trade in nine languages are there."""
    return Headings(vocabulary()).recognised("Stromkreis") is not None


def methods_of(letters: str) -> frozenset[str]:
    return frozenset(LETTERS[letter] for letter in letters if letter != "S") | {"switched"}


def fits(line: Line, row: ScheduleRow) -> str:
    """``right``, ``partly`` when something is not known or a range too wide, ``wrong`` when it is false."""
    quantity, watts, methods = line
    if row.quantity != quantity:
        return "wrong"
    grades = [power_fits(watts, content(row, "input_power_w")), methods_fit(methods, content(row, "methods"))]
    return max(grades, key=GRADES.index)


def content(row: ScheduleRow, name: str) -> Content:
    trait = row.driver_traits.get(name)
    return None if trait is None else trait.content


def power_fits(watts: float | tuple[float, float] | None, found: Content) -> str:
    if watts is None:
        return "right" if found is None else "wrong"
    low, high = watts if isinstance(watts, tuple) else (watts, watts)
    if found is None:
        return "partly"
    assert isinstance(found, Interval)
    if abs(found.low - low) < 1e-9 and abs(found.high - high) < 1e-9:
        return "right"
    return "partly" if found.low <= low + 1e-9 and high <= found.high + 1e-9 else "wrong"


def methods_fit(letters: str | None, found: Content) -> str:
    if letters is None:
        return "right" if found is None else "partly"
    if found is None:
        return "partly"
    assert isinstance(found, TokenSet)
    truth = methods_of(letters)
    if found.sure == truth == found.possible:
        return "right"
    return "partly" if found.sure <= truth <= found.possible else "wrong"


def grade(case: Case, found: Schedule | BadInput) -> str:
    if isinstance(found, BadInput):
        return "refused with cure" if all(fault.do for fault in found.faults) else "wrong"
    if case.truth is None:
        return "wrong"
    read_as: dict[str, list[ScheduleRow]] = {}
    for row in found.rows:
        read_as.setdefault(row.circuit, []).append(row)
    if read_as.keys() != case.truth.keys():
        return "wrong"
    grades = ["right"]
    for circuit, lines in case.truth.items():
        rows = read_as[circuit]
        if len(rows) != len(lines):
            return "wrong"
        grades += [fits(line, row) for line, row in zip(lines, rows, strict=True)]
    return max(grades, key=GRADES.index)


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.language}: {case.name}")
def test_a_file_says_what_it_truly_says(tmp_path: Path, case: Case) -> None:
    found = outcome(lambda: read(case.make(tmp_path)), BadInput)
    got = grade(case, found)
    told = str(found) if isinstance(found, BadInput) else "\n".join(found.notes)
    assert got != "wrong", told
    if case.words and not has_words():
        return
    assert got == ("refused with cure" if case.refused else case.at_best), told
    assert case.refused in told
    assert [part for part in case.told if part not in told] == [], told


def grades(cases: list[Case], folder: Path) -> list[str]:
    """How each file was read."""
    found = []
    for number, case in enumerate(cases):
        place = folder / str(number)
        place.mkdir(parents=True)
        found.append(grade(case, outcome(lambda: read(case.make(place)), BadInput)))  # noqa: B023
    return found


def test_the_score_over_both_sets(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    first, second = (
        Counter(grades(cases, tmp_path / name)) for cases, name in ((CASES, "1"), (HELD_OUT, "2"))
    )
    more = Counter(found := grades(MORE, tmp_path / "more"))
    with capsys.disabled():
        for name, counts in (("first set", first), ("more", more), ("held out", second)):
            print(f"\n{name}: " + ", ".join(f"{kind} {counts[kind]}" for kind in GRADES))  # noqa: T201
    assert first["wrong"] == more["wrong"] == second["wrong"] == 0
    at_best = ["refused with cure" if case.refused else case.at_best for case in MORE]
    assert [case.name for case, got, best in zip(MORE, found, at_best, strict=True) if got != best] == []
    assert first["right"] >= (len(CASES) - 5 if has_words() else 24)
    assert len({case.language for case in CASES} - {"en-us"}) == 9
    assert len(CASES) >= 40
