"""Protective devices: circuits behind one are judged together, and an unlabelled one is not alone."""

from __future__ import annotations

from typing import Any

import pytest

from compat.dataset.overlay import Setting, read_setting
from compat.dataset.read import Dataset
from compat.dataset.values import trait_of
from compat.engine.check import Check
from compat.engine.gather import together
from compat.engine.site import Site
from compat.model.schedule import Schedule, ScheduleRow
from compat.model.values import Interval, Trait
from compat.model.verdicts import Verdict
from compat.rulebook.rules import ParsedRule
from tests.engine.made import circuit, exact, row

LAMP: dict[str, Any] = {
    "load_type": "incandescent",
    "input_character": "resistive",
    "input_power_w": 2300,
    "input_current_a": 10,
    "power_factor": 1,
    "insulation_class": "class_2",
}


def told(
    dataset: Dataset, rules: list[ParsedRule], slug: str, rows: list[tuple[dict[str, Any], dict[str, Any]]]
) -> list[Verdict | None]:
    """The verdict of one rule on each circuit; a row is traits of a driver and labels of devices."""
    setting: Setting = read_setting(dataset, None, None)
    breaker = dataset.tables["breakers"]["B0011"]
    made = [
        ScheduleRow(
            number=place,
            circuit=f"C{place}",
            quantity=1,
            output_id="O0028",
            driver_traits={
                name: trait_of(
                    value, dataset.vocabulary.traits[f"driver.{name}"], dataset.vocabulary, "declared", None
                )
                for name, value in traits.items()
            },
            **labels,
        )
        for place, (traits, labels) in enumerate(rows, start=1)
    ]
    around = Setting(**{**{n: getattr(setting, n) for n in setting.__dataclass_fields__}, "breaker": breaker})
    report = Check(dataset, rules, around).report(Schedule("made", "", tuple(made)))
    return [
        next((found.verdict for found in judged.findings if found.slug == slug), None)
        for judged in report.circuits
    ]


def test_a8_two_circuits_without_a_label_may_share_a_breaker(
    dataset: Dataset, rules: list[ParsedRule]
) -> None:
    """10 A each on 16 A: alone each holds, together they do not, and nobody says which it is."""
    both = [(LAMP, {}), (LAMP, {})]
    assert told(dataset, rules, "breaker-circuits-not-stated", both) == ["unproven", "unproven"]
    assert told(dataset, rules, "steady-current-above-breaker", both) == ["works", "works"]


def test_a8_where_one_device_would_do_for_all_nothing_is_asked(
    dataset: Dataset, rules: list[ParsedRule]
) -> None:
    small = {**LAMP, "input_power_w": 460, "input_current_a": 2}
    assert told(dataset, rules, "breaker-circuits-not-stated", [(small, {}), (small, {})]) == [
        "works",
        "works",
    ]
    assert told(dataset, rules, "breaker-circuits-not-stated", [(LAMP, {})]) == ["works"]


def test_a8_a_project_may_say_that_each_circuit_has_a_breaker_of_its_own(
    dataset: Dataset, rules: list[ParsedRule]
) -> None:
    alone = {"circuit_traits": {"breaker_members_known": Trait(True)}}
    found = told(dataset, rules, "breaker-circuits-not-stated", [(LAMP, alone), (LAMP, alone)])
    assert found == ["works", "works"]


def test_a8_one_alone_is_a_lower_bound(dataset: Dataset, rules: list[ParsedRule]) -> None:
    large = {**LAMP, "input_power_w": 4600, "input_current_a": 20}
    assert told(dataset, rules, "steady-current-above-breaker", [(large, {}), (LAMP, {})]) == [
        "fails",
        "works",
    ]


def test_circuits_of_one_label_are_added(dataset: Dataset, rules: list[ParsedRule]) -> None:
    labelled = [(LAMP, {"breaker": "B1"}), (LAMP, {"breaker": "B1"}), (LAMP, {"breaker": "B2"})]
    assert told(dataset, rules, "steady-current-above-breaker", labelled) == ["fails", "fails", "works"]
    assert told(dataset, rules, "breaker-circuits-not-stated", labelled) == ["works"] * 3


@pytest.mark.parametrize(
    ("each_ma", "share", "release"),
    [(4, "works", "works"), (6, "marginal", "works"), (8, "marginal", "fails")],
)
def test_a3_a_residual_current_device_is_a_group_of_its_own(
    each_ma: float, share: Verdict, release: Verdict, dataset: Dataset, rules: list[ParsedRule]
) -> None:
    """Two circuits on two breakers behind one device of 30 mA: 8 mA, 12 mA and 16 mA."""
    metal = {**LAMP, "insulation_class": "class_1", "protective_conductor_current_ma": each_ma}
    rows = [(metal, {"breaker": "B1", "rcd": "R1"}), (metal, {"breaker": "B2", "rcd": "R1"})]
    assert told(dataset, rules, "protective-current-above-rcd-share", rows) == [share, share]
    assert told(dataset, rules, "protective-current-releases-rcd", rows) == [release, release]


def test_a3_a_silent_circuit_is_asked_and_the_others_are_judged_by_what_is_known(
    dataset: Dataset, rules: list[ParsedRule]
) -> None:
    known = {**LAMP, "insulation_class": "class_1", "protective_conductor_current_ma": 4}
    silent = {name: value for name, value in LAMP.items() if name != "insulation_class"}
    many = [({**silent}, {"rcd": "R1", "breaker": f"B{place}"}) for place in range(3)]
    rows = [(known, {"rcd": "R1", "breaker": "B9"}), *many]
    assert told(dataset, rules, "protective-current-above-rcd-share", rows)[0] == "works"


def test_what_circuits_of_a_device_have_in_common_holds_for_them_together(dataset: Dataset) -> None:
    """Figures from the lowest to the highest, words where all agree, nothing where they do not."""
    columns = [
        {"cable_length_m": exact(10.0), "wanted_control": "dimmed", "neutral_shared": False},
        {"cable_length_m": exact(25.0), "wanted_control": "dimmed", "neutral_shared": True},
    ]
    circuits = [circuit(dataset, row(1, 1, {}, column)) for column in columns]
    common = together("B1", circuits, dataset, Site(dataset.tables["supplies"]["U0001"])).column_traits
    assert common["cable_length_m"].content == Interval(10.0, 25.0)
    assert common["wanted_control"].content == "dimmed"
    assert common["neutral_shared"].content is None
