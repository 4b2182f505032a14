"""Exceptions let a known fault pass, and are told when nothing needs them any more."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from compat.checks.context import read_context
from tests.checks.parts import NEUTRAL, add, found_in, small_dataset, swap
from tests.conftest import ROOT
from tests.dataset.parts import restored

PLACE = "switching/neutral-missing.toml"
ENTRY = """
[[exception]]
check = "dangling-ids"
place = "switching/neutral-missing.toml"
says = "R0801"
reason = "the rule that is named comes with the next release"
until = "2027-06-30"
"""


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return small_dataset(tmp_path_factory.mktemp("small"))


@pytest.fixture
def root(small: Path) -> Iterator[Path]:
    with restored(small) as folder:
        yield folder


def names_unknown_rule(root: Path) -> None:
    swap(NEUTRAL, 'title = "', 'title = "As R0801 says: ')(root)


def test_an_exception_lets_its_fault_pass(root: Path) -> None:
    names_unknown_rule(root)
    assert [line.split(":")[0] for line in found_in(root)] == ["dangling-ids"]
    add("rules/exceptions.toml", ENTRY)(root)
    assert found_in(root) == []


def test_an_exception_that_nothing_needs_is_a_fault(root: Path) -> None:
    add("rules/exceptions.toml", ENTRY)(root)
    assert found_in(root) == [
        "exceptions: exceptions.toml, line 15: unnecessary exception: the check dangling-ids finds no such "
        f"fault in {PLACE}. Remove it."
    ]


@pytest.mark.parametrize(
    ("old", "new"),
    [("R0801", "R0802"), (PLACE, "load/load-below-minimum.toml"), ('"dangling-ids"', '"slots"')],
)
def test_an_exception_for_another_fault_lets_nothing_pass(root: Path, old: str, new: str) -> None:
    names_unknown_rule(root)
    add("rules/exceptions.toml", ENTRY.replace(old, new))(root)
    assert [line.split(":")[0] for line in found_in(root)] == ["dangling-ids", "exceptions"]


@pytest.mark.parametrize(
    ("old", "new", "sentence"),
    [
        ('until = "2027-06-30"', 'until = "2027-02-30"', "day is out of range for month"),
        ('until = "2027-06-30"\n', "", "'until' is missing. Add it."),
        (
            'reason = "the rule that is named comes with the next release"',
            'reason = "later"',
            "'later' is not",
        ),
        ("says =", "regexp =", "'regexp' is no field of this file"),
    ],
)
def test_an_exception_says_why_and_until_when(root: Path, old: str, new: str, sentence: str) -> None:
    names_unknown_rule(root)
    assert old in ENTRY
    add("rules/exceptions.toml", ENTRY.replace(old, new))(root)
    found = found_in(root)
    assert found[0].startswith("readable: exceptions.toml, line ")
    assert sentence in found[0]
    assert found[1].startswith("dangling-ids: ")


def test_what_cannot_be_read_is_never_let_pass(root: Path) -> None:
    swap(NEUTRAL, 'breach = "fails"', 'breach = "false"')(root)
    entry = ENTRY.replace('"dangling-ids"', '"readable"').replace("switching/", "").replace("R0801", "breach")
    add("rules/exceptions.toml", entry)(root)
    found = found_in(root)
    assert found[0].startswith("readable: neutral-missing.toml, line 9, breach:")
    assert any("there is no check 'readable' from which to except" in line for line in found)


def test_our_own_dataset_needs_no_exception() -> None:
    assert read_context(ROOT).exceptions == ()
