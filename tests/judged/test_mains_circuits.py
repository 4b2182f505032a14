"""Circuits of the mains judged by hand before the program was run on them, with the traps of the trade.

The watts beside a planned dimmer bind: a larger dimmer on offer does not stand in for it.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

import compat

HERE = Path(__file__).parent
FILES = ("mains_europe.csv", "mains_america.csv")
ALLOWED = {"works": ("works",), "works or doubtful": ("works", "marginal", "unproven")}
ALLOWED["not works"] = ("marginal", "unproven", "fails", "hazard")


def rows_of(file: str) -> list[dict[str, str]]:
    return list(csv.DictReader((HERE / file).read_text(encoding="utf-8").splitlines()))


@pytest.fixture(scope="module")
def found() -> dict[str, str]:
    circuits = [one for file in FILES for one in compat.check(HERE / file).report.circuits]
    return {one.circuit: one.expected.verdict if one.expected else one.verdict for one in circuits}


@pytest.mark.parametrize(
    "row", [row for file in FILES for row in rows_of(file)], ids=lambda row: f"{row['Circuit']}"
)
def test_what_is_expected_of_a_circuit(row: dict[str, str], found: dict[str, str]) -> None:
    judged = row["Judged"]
    assert found[row["Circuit"]] in ALLOWED.get(judged, (judged,)), row["Reason"]


@pytest.mark.parametrize(
    ("control", "works"),
    [
        ("Trailing edge dimmer 250W", True),
        ("Trailing edge dimmer 150 W", False),
        ("Trailing edge dimmer 5-100W", False),
        ("Trailing edge dimmer 10 to 250 W", True),
        ("Trailing edge dimmer", True),
    ],
)
def test_the_watts_beside_a_planned_dimmer_bind(tmp_path: Path, control: str, works: bool) -> None:
    house = tmp_path / "house.csv"
    house.write_text(
        f"Circuit,Room,Luminaire,Qty,Watts,Control\n1,Bedroom,Halogen GU10 230V,5,40,{control}\n", "utf-8"
    )
    circuit = compat.check(house).circuit("1")
    verdict = circuit.expected.verdict if circuit.expected else circuit.verdict
    assert (verdict == "works") is works
