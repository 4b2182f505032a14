"""Invented houses judged by hand, verdict and reason written before the program was run on them."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from compat.dataset.overlay import read_setting
from compat.dataset.read import Dataset
from compat.engine.check import Check
from compat.intake.read import read_schedule
from compat.rulebook.rules import ParsedRule

HERE = Path(__file__).parent
HOUSES = {"quarry-row": "quarry_row.csv", "alder-street": "alder_street.csv"}


def judgements(house: str) -> list[tuple[str, str, str]]:
    with (HERE / HOUSES[house]).open(encoding="utf-8", newline="") as file:
        return [(row["circuit"], row["verdict"], row["reason"]) for row in csv.DictReader(file)]


@pytest.fixture(scope="module")
def found(dataset: Dataset, rules: list[ParsedRule]) -> dict[str, dict[str, str]]:
    told = {}
    for house in HOUSES:
        folder = dataset.root / "datasets" / "demo"
        setting = read_setting(dataset, folder / f"{house}.toml", None)
        tables = dataset.tables
        schedule = read_schedule(
            folder / f"{house}.csv", dataset.vocabulary, tables["drivers"], tables["outputs"]
        )
        report = Check(dataset, rules, setting).report(schedule)
        told[house] = {circuit.circuit: circuit.verdict for circuit in report.circuits}
    return told


@pytest.mark.parametrize(
    ("house", "circuit", "verdict", "reason"),
    [(house, *one) for house in HOUSES for one in judgements(house)],
)
def test_the_program_says_what_was_judged_by_hand(
    house: str, circuit: str, verdict: str, reason: str, found: dict[str, dict[str, str]]
) -> None:
    assert found[house][circuit] == verdict, reason


def test_every_circuit_is_judged(found: dict[str, dict[str, str]]) -> None:
    for house in HOUSES:
        assert list(found[house]) == [circuit for circuit, _, _ in judgements(house)]
    assert [len(found[house]) for house in HOUSES] == [25, 15]
