"""A look-up of so many drivers and a check of one circuit of so many never differ, whatever is stated."""

from __future__ import annotations

from dataclasses import replace

import pytest

from compat.dataset.overlay import read_setting
from compat.dataset.read import Dataset
from compat.engine.check import Check
from compat.engine.lookup import Looker
from compat.model.lookup import CountPicture
from compat.model.schedule import Schedule, ScheduleRow
from compat.model.values import Content, Interval, TokenSet, Trait
from compat.model.verdicts import Verdict
from compat.rulebook.rules import ParsedRule

COUNTS = (1, 2, 3, 5, 8, 13, 20, 31, 45, 60)
OUTPUTS = (
    "O0003", "O0006", "O0008", "O0010", "O0013", "O0020", "O0023", "O0028", "O0029", "O0035", "O0044",
    "O0047",
)  # fmt: skip
DRIVERS = ("D0014", "D0002", "D0034", "D0040", "D0055")


def stated_values(dataset: Dataset, driver_id: str) -> list[tuple[str, Content]]:
    """For each trait of a driver a value that differs from its own."""
    own = dataset.tables["drivers"][driver_id].traits
    found: list[tuple[str, Content]] = []
    for trait in dataset.vocabulary.of_subject("driver"):
        known = own[trait.name].content if trait.name in own else None
        if trait.kind == "quantity":
            middle = known.high * 1.5 if isinstance(known, Interval) and known.high else 2.0
            found.append((trait.name, Interval(middle, middle)))
        elif trait.kind == "yes_no":
            found.append((trait.name, known is not True))
        else:
            word = next(w for w in dataset.vocabulary.values_of(trait) if w != known)
            found.append((trait.name, TokenSet.exactly(word) if trait.kind == "set" else word))
    return found


def verdict_at(picture: CountPicture, count: int) -> Verdict:
    return next(entry.verdict for entry in picture.ranges if entry.first <= count <= entry.last)


@pytest.mark.parametrize("driver_id", DRIVERS)
def test_check_and_lookup_never_differ(driver_id: str, dataset: Dataset, rules: list[ParsedRule]) -> None:
    """Over every trait that can be stated, counts up to 60, on 12 outputs: proof and expected verdict."""
    setting = read_setting(dataset, None, None)
    setting = replace(setting, offer={name: dataset.tables["outputs"][name] for name in OUTPUTS})
    looker, check = Looker(dataset, rules, setting), Check(dataset, rules, setting, True)
    cases: list[dict[str, Trait]] = [{}]
    cases += [{name: Trait(value)} for name, value in stated_values(dataset, driver_id)]
    for place, stated in enumerate(cases):
        # Over all cases every count is looked at.
        compare(driver_id, stated, COUNTS[place % len(COUNTS)], looker, check)


def compare(driver_id: str, stated: dict[str, Trait], count: int, looker: Looker, check: Check) -> None:
    driver = looker.dataset.tables["drivers"][driver_id]
    pictures = looker.look(driver, up_to=count, stated=stated).outputs
    rows = []
    for number, entry in enumerate(pictures, 1):
        method = looker.dataset.tables["outputs"][entry.output].traits["method"].content
        wanted = {"wanted_control": Trait("switched" if method == "switched" else "dimmed")}
        rows.append(
            ScheduleRow(
                number, f"C{number}", count, "", driver.name, driver_id, entry.output, f"B{number}",
                f"D{number}", driver_traits=stated, circuit_traits=wanted,
            )
        )  # fmt: skip
    circuits = check.report(Schedule("made.csv", "", tuple(rows))).circuits
    for entry, circuit in zip(pictures, sorted(circuits, key=lambda one: int(one.circuit[1:])), strict=True):
        where = (driver_id, stated, entry.output, count)
        assert circuit.output is not None
        assert circuit.output.output == entry.output, where
        assert circuit.verdict == verdict_at(entry, count), where
        if circuit.expected is not None:
            assert entry.expected is not None, where
            assert circuit.expected.verdict == verdict_at(entry.expected, count), where
