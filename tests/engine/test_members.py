"""Rows with what follows from them: origins, contradictions, overrides; check and look-up alike."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from compat.dataset.overlay import read_setting
from compat.dataset.read import Dataset, Equipment
from compat.engine.lookup import Looker
from compat.engine.members import Member, member_of
from compat.intake.driver_overrides import OPTIONS
from compat.model.overrides import overridden
from compat.model.schedule import ScheduleRow
from compat.model.values import UNKNOWN, Content, Interval, Origin, TokenSet, Trait
from compat.model.vocabulary import TraitDefinition
from compat.rulebook.follows import Follower, Found
from compat.rulebook.rules import ParsedRule
from tests.conftest import ROOT

VOLTS = Interval(230.0, 230.0)


def exact(value: float) -> Interval:
    return Interval(value, value)


def member(dataset: Dataset, driver: str | None = None, text: str = "", **stated: Content) -> Member:
    traits = {name: Trait(value, origin=Origin("a.xlsx", "S", f"{name}7")) for name, value in stated.items()}
    row = ScheduleRow(7, "C1", 4, luminaire_type=text, driver_id=driver, driver_traits=traits)
    return member_of(row, dataset, VOLTS)


def test_a_derived_value_says_from_what_and_from_which_cell(dataset: Dataset) -> None:
    made = member(dataset, "D0001", input_power_w=exact(60.0))
    current = made.traits["input_current_a"]
    assert current.basis == "derived"
    assert current.origin == Origin("a.xlsx", "S", "input_power_w7")
    reason = made.reasons["input_current_a"]
    assert reason.relations == ("F0001",)
    assert reason.used["driver.input_power_w"].origin == Origin("a.xlsx", "S", "input_power_w7")
    factor = reason.used["driver.power_factor"].origin
    assert factor is not None
    assert factor.file == "integral-lamps.toml"


def test_a_chain_leads_back_to_what_is_stated(dataset: Dataset) -> None:
    made = member(dataset, load_type="incandescent", input_power_w=exact(46.0))
    current = made.traits["input_current_a"].content
    assert isinstance(current, Interval)
    assert (current.low, current.high) == (pytest.approx(0.2), pytest.approx(0.2))
    assert "driver.power_factor" in made.reasons["input_current_a"].used
    assert "F0031" in made.reasons["power_factor"].relations
    assert set(made.reasons["power_factor"].used) == {"driver.input_character"}
    assert set(made.reasons["input_character"].used) == {"driver.load_type"}


def test_stated_values_that_contradict_each_other_come_with_their_cells(dataset: Dataset) -> None:
    made = member(dataset, "D0001", input_power_w=exact(100.0), input_current_a=exact(0.2))
    (found,) = made.contradictions
    assert found.relations == ("F0001", "F0004")
    cells = {name: trait.origin.cell for name, trait in found.values.items() if trait.origin}
    assert cells == {
        "driver.input_power_w": "input_power_w7",
        "driver.input_current_a": "input_current_a7",
    }
    assert made.traits["input_power_w"].content == exact(100.0)


def test_a_generic_figure_that_stated_ones_deny_is_told_as_fallen(dataset: Dataset) -> None:
    made = member(dataset, "D0014", input_power_w=exact(20.0), input_current_a=exact(0.2))
    assert made.fallen == {"driver.power_factor"}
    assert made.traits["power_factor"].basis == "derived"
    assert made.contradictions == ()


def test_own_figures_are_not_called_contradictions_of_a_supply_that_does_not_suit(dataset: Dataset) -> None:
    """A lamp for 120 V on a supply of 230 V: its own figures hold at 120 V."""
    made = member(
        dataset,
        input_voltage_min_v=exact(108.0),
        input_voltage_max_v=exact(132.0),
        input_power_w=exact(60.0),
        input_current_a=exact(0.5),
        power_factor=exact(1.0),
    )
    assert made.contradictions == ()
    assert made.fallen == set()


def test_what_is_said_to_be_unknown_may_still_follow(dataset: Dataset) -> None:
    made = member(dataset, "D0014", input_current_a=None)
    assert made.traits["input_current_a"].content is None
    known = member(
        dataset, "D0014", power_factor=None, input_power_w=exact(46.0), input_current_a=exact(0.25)
    )
    factor = known.traits["power_factor"].content
    assert isinstance(factor, Interval)
    assert factor.low <= 0.8 <= factor.high


def test_the_columns_of_the_vocabulary_say_which_figures_fall(dataset: Dataset) -> None:
    traits = dataset.tables["drivers"]["D0014"].traits

    def fallen(**stated: float) -> dict[str, str]:
        said = {name: Trait(exact(value)) for name, value in stated.items()}
        return overridden(traits, said, dataset.vocabulary)

    assert fallen(input_power_w=900.0) == {"input_current_a": "input_power_w"}
    assert fallen(input_power_w=900.0, input_current_a=4.0) == {}
    peak = fallen(inrush_peak_a=900.0)
    assert set(peak) == {"inrush_width_us", "inrush_test_resistance_ohm", "inrush_test_inductance_uh"}
    assert fallen() == {}


def sample(definition: TraitDefinition, dataset: Dataset) -> list[Content]:
    """Values that a schedule or an option may state of a trait, and that it is not known."""
    if definition.kind == "quantity":
        return [exact(1.0), exact(0.2), Interval(10.0, 40.0), None]
    if definition.kind == "yes_no":
        return [True, False, None]
    words = dataset.vocabulary.values_of(definition)
    if definition.kind == "choice":
        return [words[0], words[-1], None]
    return [
        TokenSet.exactly("switched", words[0]),
        TokenSet.exactly("switched"),
        TokenSet(frozenset({"switched"}), frozenset({"switched", "forward_phase", "reverse_phase"})),
        None,
    ]


def known(made: Member) -> dict[str, Content]:
    return {name: trait.content for name, trait in made.traits.items() if trait.content is not None}


def looked_up(driver: Equipment, stated: dict[str, Trait], dataset: Dataset) -> Member:
    """The row that a look-up makes of a driver with some values stated in options."""
    looker = Looker(dataset, [], read_setting(dataset, None, None))
    return member_of(looker.row_of(driver, stated), dataset, VOLTS)


@pytest.mark.parametrize("driver", ["D0001", "D0014", "D0031", "D0038", "D0046", "D0057", "D0062", "D0068"])
def test_check_and_look_up_know_the_same_whatever_is_stated(driver: str, dataset: Dataset) -> None:
    """Every trait that a schedule or an option can state, over a driver of the dataset."""
    entry = dataset.tables["drivers"][driver]
    definitions = list(dataset.vocabulary.of_subject("driver"))
    assert set(OPTIONS.values()) - {"input_voltage", "input_frequency"} <= {d.name for d in definitions}
    for definition in definitions:
        for content in sample(definition, dataset):
            stated = {definition.name: Trait(content, origin=Origin("command line"))}
            row = ScheduleRow(1, "C1", 1, driver_id=driver, driver_traits=stated)
            checked = member_of(row, dataset, VOLTS)
            found = looked_up(entry, stated, dataset)
            assert known(checked) == known(found), (definition.name, content)
            assert checked.fallen == found.fallen
            assert [c.relations for c in checked.contradictions] == [
                c.relations for c in found.contradictions
            ]


@pytest.mark.parametrize(
    "pair",
    [
        ("input_power_w", "input_current_a"),
        ("input_current_a", "power_factor"),
        ("apparent_power_va", "power_factor"),
        ("methods", "dimming_forbidden"),
        ("insulation_class", "protective_conductor_current_ma"),
        ("inrush_peak_a", "inrush_width_us"),
    ],
)
def test_check_and_look_up_know_the_same_of_two_stated_values(
    pair: tuple[str, str], dataset: Dataset
) -> None:
    definitions = [dataset.vocabulary.traits[f"driver.{name}"] for name in pair]
    for driver in ("D0001", "D0014", "D0047"):
        for one in sample(definitions[0], dataset):
            for other in sample(definitions[1], dataset):
                stated = {pair[0]: Trait(one), pair[1]: Trait(other)}
                row = ScheduleRow(1, "C1", 1, driver_id=driver, driver_traits=stated)
                entry = dataset.tables["drivers"][driver]
                assert known(member_of(row, dataset, VOLTS)) == known(looked_up(entry, stated, dataset))


def test_ten_drivers_at_a_stated_current_draw_what_that_current_gives(dataset: Dataset) -> None:
    """Once ``check`` and ``lookup`` kept different figures beside 0.2 A and so answered differently."""
    made = member(dataset, "D0014", input_current_a=exact(0.2))
    power = made.traits["input_power_w"].content
    assert isinstance(power, Interval)
    assert (power.low, power.high) == (pytest.approx(41.4), pytest.approx(44.62))
    assert made.traits["power_factor"].content == Interval(0.9, 0.97)


def test_an_edition_from_before_the_relations_is_judged_by_those_of_the_program(dataset: Dataset) -> None:
    older = replace(dataset, root=ROOT / "tests", sha256="older")
    row = ScheduleRow(
        1, "C1", 1, driver_traits={"input_power_w": Trait(exact(46)), "power_factor": Trait(exact(1))}
    )
    current = member_of(row, older, VOLTS).traits["input_current_a"].content
    assert isinstance(current, Interval)
    assert current.high == pytest.approx(0.2)


def test_defaults_of_a_project_fill_what_nobody_states(dataset: Dataset) -> None:
    row = ScheduleRow(1, "C1", 1, driver_id="D0001")
    made = member_of(row, dataset, VOLTS, {"emergency": Trait(True), "colour": Trait("rgb")})
    assert made.traits["colour"].content == dataset.tables["drivers"]["D0001"].traits["colour"].content
    assert member_of(ScheduleRow(1, "C1", 1), dataset, VOLTS, {"emergency": Trait(True)}).traits[
        "emergency"
    ] == Trait(True)
    assert member_of(ScheduleRow(1, "C1", 1), dataset, VOLTS).traits == {}
    assert UNKNOWN.content is None


def test_a_look_up_of_150_counts_asks_no_more_often_than_one_of_1(
    dataset: Dataset, rules: list[ParsedRule], monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[int] = []
    follow = Follower.follow

    def counted(self: Follower, *arguments: Any, **named: Any) -> Found:
        asked.append(1)
        return follow(self, *arguments, **named)

    monkeypatch.setattr(Follower, "follow", counted)
    setting = read_setting(dataset, None, None)
    driver = dataset.tables["drivers"]["D0001"]
    Looker(dataset, rules[:3], setting).look(driver, up_to=1)
    once = len(asked)
    answer = Looker(dataset, rules[:3], setting).look(driver)
    assert answer.counts_up_to == 150
    assert 1 <= once == len(asked) - once
