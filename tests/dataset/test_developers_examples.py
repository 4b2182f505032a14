"""The examples of DEVELOPERS.md work as they stand there, and what they leave out is told by name."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

from compat.checks.run import check_dataset
from tests.conftest import ROOT

EXAMPLE = re.compile(r"<!-- example: (\S+) -->\n\n```toml\n(.*?)```", re.DOTALL)
EXAMPLES = dict(EXAMPLE.findall((ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")))
RULE = "rules/supply/standby-power-above-limit.toml"
CASES = "rules/supply/standby-power-above-limit.cases.toml"


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    """A copy of the dataset with the examples put in where they say."""
    for folder in ("rules", "schemas", "datasets"):
        shutil.copytree(ROOT / folder, tmp_path / folder)
    for name, text in EXAMPLES.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    return tmp_path


def told(folder: Path) -> list[str]:
    return [f"{breach.check}: {breach.fault.sentence()}" for breach in check_dataset(folder)]


def test_there_are_examples_of_a_rule_its_cases_and_a_driver() -> None:
    assert {RULE, CASES, "datasets/drivers/one-more.toml"} <= set(EXAMPLES)


def test_the_examples_pass_the_dataset_check(copy: Path) -> None:
    assert told(copy) == []


def test_a_rule_without_its_cases_file_is_told_by_name(copy: Path) -> None:
    (copy / CASES).unlink()
    assert any("standby-power-above-limit.cases.toml" in line for line in told(copy))


@pytest.mark.parametrize(
    ("file", "without", "named"),
    [
        (
            RULE,
            r'"circuit\.standby_power_w" = "What.*?\n',
            "ask_for has no question for circuit.standby_power_w",
        ),
        (RULE, r"\[\[sources\]\]\nsource = \"S0101\".*?\n\n", "no source supports at_most"),
        (CASES, r"\[\[case\]\]\nname = \"a little more.*?\n\n", "there is no case of kind 'past_limit'"),
        (
            CASES,
            r"\[\[case\]\]\nname = \"standby power not known.*?\n\n",
            "circuit.standby_power_w is missing",
        ),
    ],
)
def test_what_is_left_out_is_told_by_name(copy: Path, file: str, without: str, named: str) -> None:
    path = copy / file
    text, count = re.subn(without, "", path.read_text(encoding="utf-8"), count=1, flags=re.DOTALL)
    assert count == 1
    path.write_text(text, encoding="utf-8")
    assert any(named in line for line in told(copy)), told(copy)
