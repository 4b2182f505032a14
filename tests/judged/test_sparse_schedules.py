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
