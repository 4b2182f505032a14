"""Sparse schedules judged by hand before the program was run on them: what is to be expected of each circuit.

The column Control says how the circuit is planned to be controlled, the luminaire what its gear is.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

import compat

SPARSE = Path(__file__).with_name("sparse.csv")
ROWS = list(csv.DictReader(SPARSE.read_text(encoding="utf-8").splitlines()))


@pytest.fixture(scope="module")
def found() -> dict[str, str]:
    report = compat.check(SPARSE).report
    return {one.circuit: one.expected.verdict if one.expected else one.verdict for one in report.circuits}


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["Circuit"])
def test_what_is_expected_of_a_circuit(row: dict[str, str], found: dict[str, str]) -> None:
    assert found[row["Circuit"]] == row["Judged"], row["Reason"]


OFFICE = Path(__file__).with_name("office_277.csv")
OFFICE_ROWS = list(csv.DictReader(OFFICE.read_text(encoding="utf-8").splitlines()))
EXPECTED = {"works": ("works",), "works or doubtful": ("works", "marginal", "unproven")}
EXPECTED["not works"] = ("marginal", "unproven", "fails", "hazard")


@pytest.fixture(scope="module")
def of_office() -> compat.CheckResult:
    return compat.check(OFFICE)


@pytest.mark.parametrize("row", OFFICE_ROWS, ids=lambda row: row["Circuit"])
def test_an_office_on_two_voltages_without_a_project_file(
    row: dict[str, str], of_office: compat.CheckResult
) -> None:
    circuit = of_office.circuit(row["Circuit"])
    found = circuit.expected.verdict if circuit.expected else circuit.verdict
    assert found in EXPECTED[row["Judged"]], row["Reason"]


def test_the_supply_is_told_where_rated_voltages_show_it(of_office: compat.CheckResult) -> None:
    assert any("one of 120 V and 277 V" in note for note in of_office.report.notes)
    slugs = {one.slug for circuit in of_office.report.circuits for one in circuit.findings}
    assert "supply-voltage-above-input-range" in slugs
    assert not [
        one
        for circuit in of_office.report.circuits
        for one in circuit.findings
        if one.slug == "supply-voltage-above-input-range" and one.verdict in ("hazard", "fails")
    ]


def test_a_single_lamp_of_a_wrong_voltage_stays_a_hazard(tmp_path: Path) -> None:
    house = tmp_path / "house.csv"
    rows = ["1,Hall,LED downlight,4,10,230V,switched", "2,Den,LED lamp E27,2,9,120V,switched"]
    house.write_text("\n".join(["Circuit,Room,Luminaire,Qty,W,Voltage,Control", *rows]), encoding="utf-8")
    found = compat.check(house)
    assert found.circuit("2").verdict == "hazard"
    assert found.circuit("1").verdict != "hazard"
