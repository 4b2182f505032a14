"""Invented circuits of which a schedule says but a few words, the verdict written by hand.

Sixty were written before the program was run; six of them were corrected, and one was added, after it.

A reader of the trade would say of each that it works when nothing odd turns up, that it is doubtful, or
that it fails; where two words stand, either would do.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from compat import api
from compat.report.states import IN_DOUBT, TO_CHANGE, state_of

JUDGED = Path(__file__).with_name("words_alone.csv")
ASKED = ("circuit", "room", "type", "quantity", "watts each", "dimming")


def rows() -> list[dict[str, str]]:
    with JUDGED.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.fixture(scope="module")
def found(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    path = tmp_path_factory.mktemp("words") / "schedule.csv"
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, ASKED, extrasaction="ignore")
        writer.writeheader()
        writer.writerows(rows())
    report = api.check(path, brief=True).report
    kinds = {**dict.fromkeys(TO_CHANGE, "fails"), **dict.fromkeys(IN_DOUBT, "doubtful")}
    return {one.circuit: kinds.get(state_of(one), "works") for one in report.circuits}


@pytest.mark.parametrize("row", rows(), ids=lambda row: f"{row['circuit']} {row['type']}")
def test_the_program_expects_what_was_judged_by_hand(row: dict[str, str], found: dict[str, str]) -> None:
    assert found[row["circuit"]] in row["verdict"].split("|"), row["reason"]
