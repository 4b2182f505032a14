"""The relations of the dataset: true drivers keep their values, and contradictions are told."""

from __future__ import annotations

import random

import pytest

from compat.dataset.read import Dataset
from compat.model.values import Content, Interval, TokenSet
from compat.rulebook.follows import Follower, follower_of
from compat.rulebook.relation_cases import case_faults

METHODS = ("forward_phase", "reverse_phase", "analog_0_10v", "dali", "dmx")
SUPPLY = {"supply.voltage_v": Interval(230.0, 230.0)}


def exact(value: float) -> Interval:
    return Interval(value, value)


@pytest.fixture(scope="module")
def follower(dataset: Dataset) -> Follower:
    return follower_of(dataset)


def test_every_case_of_every_relation_gives_what_it_expects(follower: Follower) -> None:
    faults = [
        f"{relation.relation.slug}, {case.name}: {what}"
        for relation in follower.relations
        for case in relation.relation.case
        for what in case_faults(relation, case, follower)
    ]
    assert faults == []
    assert len(follower.relations) >= 30


def true_driver(chance: random.Random) -> tuple[dict[str, Content], dict[str, Content]]:
    """A driver whose values hold by every relation, drawn by lot, and the totals of its row."""
    load_type = chance.choice(
        ("integral_lamp", "constant_current_driver", "magnetic_transformer", "electronic_transformer")
    )
    load_type = chance.choice((load_type, "incandescent", "motor", "constant_voltage_driver"))
    character = {
        "incandescent": "resistive",
        "magnetic_transformer": "inductive",
        "motor": "inductive",
    }.get(load_type, "capacitive")
    factor = 1.0 if character == "resistive" else chance.uniform(0.4, 1.0)
    current = chance.uniform(0.01, 2.0)
    apparent = 230.0 * current
    power = apparent * factor
    dimming = frozenset(method for method in METHODS if chance.random() < 0.3)
    dali = "dali" in dimming
    of_class = chance.choice(("class_1", "class_2", "class_3"))
    count = chance.randint(1, 20)
    length = chance.uniform(0.5, 20.0)
    values: dict[str, Content] = {
        "driver.load_type": load_type,
        "driver.input_character": character,
        "driver.power_factor": exact(factor),
        "driver.input_current_a": exact(current),
        "driver.apparent_power_va": exact(apparent),
        "driver.input_power_w": exact(power),
        "driver.methods": TokenSet.exactly("switched", *dimming),
        "driver.dimming_forbidden": not dimming,
        "driver.insulation_class": of_class,
        "driver.protective_conductor_current_ma": exact(0.5 if of_class == "class_1" else 0.0),
        "driver.dali_current_ma": exact(chance.uniform(0.5, 2.0)) if dali else None,
        "driver.dali_device_type": "type_6" if dali else None,
        "driver.colour": "none",
        "driver.dali_addresses": exact(1.0) if dali else None,
        "driver.led_strip_length_m": exact(length),
        "driver.led_strip_w_per_m": exact(power * chance.uniform(0.75, 1.0) / length),
        "driver.input_voltage_min_v": exact(198.0),
        "driver.input_voltage_max_v": exact(264.0),
    }
    totals: dict[str, Content] = {
        "circuit.input_power_w": exact(count * power),
        "circuit.input_current_a": exact(count * current),
        "circuit.apparent_power_va": exact(count * apparent),
    }
    return values, {"circuit.driver_count": exact(count), **totals}


def loosened(content: Content, chance: random.Random) -> Content:
    """A range around a quantity, or a set that leaves a token open."""
    if isinstance(content, Interval) and chance.random() < 0.6:
        spread = chance.uniform(0.0, 0.2)
        return Interval(content.low * (1.0 - spread), content.high * (1.0 + spread))
    if isinstance(content, TokenSet) and chance.random() < 0.3:
        return TokenSet(frozenset({"switched"}), content.possible | {"dali"})
    return content


def is_inside(truth: Content, found: Content) -> bool:
    if isinstance(truth, Interval) and isinstance(found, Interval):
        slack = 1e-9 * abs(truth.high)
        return found.low - slack <= truth.low and truth.high <= found.high + slack
    if isinstance(truth, TokenSet) and isinstance(found, TokenSet):
        return found.sure <= truth.sure and truth.possible <= found.possible
    return truth == found


def test_what_follows_holds_of_the_driver_that_it_is_said_of(follower: Follower) -> None:
    """600 true drivers with values hidden and loosened: nothing false follows, and much does."""
    chance = random.Random(7)
    told = 0
    for _ in range(600):
        truth, row = true_driver(chance)
        given = dict(SUPPLY) if chance.random() < 0.8 else {}
        given["circuit.driver_count"] = row["circuit.driver_count"]
        every = {**truth, **{name: value for name, value in row.items() if name not in given}}
        stated = {
            name: loosened(content, chance)
            for name, content in every.items()
            if content is not None and chance.random() < 0.5
        }
        found = follower.follow([stated], given)
        assert found.conflicts == (), (truth, stated)
        for name, content in found.values.items():
            if truth[name] is not None:
                assert is_inside(truth[name], content), (name, truth[name], content)
                told += name not in stated
    assert told > 1000


def test_two_orders_of_the_relations_say_the_same(dataset: Dataset, follower: Follower) -> None:
    chance = random.Random(5)
    relations = list(follower.relations)
    for _ in range(20):
        truth, _ = true_driver(chance)
        stated = {name: value for name, value in truth.items() if chance.random() < 0.5}
        chance.shuffle(relations)
        other = Follower(relations, dataset.vocabulary).follow([stated], SUPPLY)
        assert other == follower.follow([stated], SUPPLY)


def test_stated_values_that_contradict_each_other_are_told_together(follower: Follower) -> None:
    stated = {"driver.input_power_w": exact(100.0), "driver.input_current_a": exact(0.2)}
    (conflict,) = follower.follow([stated], SUPPLY).conflicts
    assert conflict.relations == ("F0001", "F0004")
    assert set(conflict.names) == set(stated)


def test_a_contradiction_that_takes_several_relations_is_told(follower: Follower) -> None:
    """A filament lamp of 48 W has 48 VA; what has no part in it is not told."""
    stated: dict[str, Content] = {
        "driver.input_power_w": exact(48.0),
        "driver.apparent_power_va": exact(115.0),
        "driver.load_type": "incandescent",
        "driver.insulation_class": "class_1",
        "driver.methods": TokenSet.exactly("forward_phase", "switched"),
    }
    (conflict,) = follower.follow([stated], SUPPLY).conflicts
    assert conflict.relations == ("F0003", "F0030", "F0031")
    assert conflict.names == ("driver.apparent_power_va", "driver.input_power_w", "driver.load_type")


def test_two_contradictions_are_both_told_and_the_rest_still_follows(follower: Follower) -> None:
    stated: dict[str, Content] = {
        "driver.input_power_w": exact(100.0),
        "driver.input_current_a": exact(0.2),
        "driver.methods": TokenSet.exactly("switched"),
        "driver.dimming_forbidden": False,
        "driver.insulation_class": "class_2",
    }
    found = follower.follow([stated], SUPPLY)
    assert sorted(conflict.relations for conflict in found.conflicts) == [("F0001", "F0004"), ("F0024",)]
    assert found.values["driver.protective_conductor_current_ma"] == exact(0.0)


def test_what_is_only_presumed_gives_way_even_where_it_takes_several_relations(follower: Follower) -> None:
    """A word presumes a transformer, and that presumes an input; the stated input is taken at its word."""
    stated: dict[str, Content] = {"driver.input_character": "resistive"}
    found = follower.follow([stated], SUPPLY, text="MR16 spotlight 12 V")
    assert found.conflicts == ()
    assert "driver.load_type" not in found.values


def test_figures_of_a_plate_may_differ_by_rounding(follower: Follower) -> None:
    stated = {
        "driver.input_power_w": exact(10.0),
        "driver.input_current_a": exact(0.05),
        "driver.power_factor": exact(0.9),
    }
    found = follower.follow([stated], SUPPLY)
    assert found.conflicts == ()
    apparent = found.values["driver.apparent_power_va"]
    assert is_inside(exact(11.5), apparent)


def test_a_generic_figure_falls_where_stated_ones_deny_it(follower: Follower) -> None:
    stated = {"driver.input_power_w": exact(20.0), "driver.input_current_a": exact(0.2)}
    generic = {"driver.power_factor": Interval(0.9, 0.97), "driver.insulation_class": "class_2"}
    found = follower.follow([stated, generic], SUPPLY)
    assert found.fallen == {"driver.power_factor"}
    factor = found.values["driver.power_factor"]
    assert is_inside(exact(20.0 / 46.0), factor)
    assert found.conflicts == ()


def test_what_is_presumed_denies_no_written_figure(follower: Follower) -> None:
    generic = {"driver.input_voltage_min_v": exact(108.0), "driver.input_voltage_max_v": exact(305.0)}
    found = follower.follow([{}, generic], SUPPLY, text="Troffer 120-277 V")
    assert found.fallen == set()
    assert found.values == {}


@pytest.mark.parametrize(
    ("text", "load_type"),
    [
        ("LED strip 24V DC, 5 m", "constant_voltage_driver"),
        ("LED STRIP (24 V)", "constant_voltage_driver"),
        ("Downlight, 350 mA", "constant_current_driver"),
        ("Spot 500mA", "constant_current_driver"),
        ("Pendant E27 LED", "integral_lamp"),
        ("GU10 LED 6W", "integral_lamp"),
        ("Downlight", None),
        ("E27 pendant", None),
        ("Room 350 main", None),
        ("24 V relay", None),
    ],
)
def test_what_a_word_implies(text: str, load_type: str | None, follower: Follower) -> None:
    assert follower.follow([{}], SUPPLY, text).values.get("driver.load_type") == load_type


def test_a_law_holds_where_it_is_in_force(follower: Follower) -> None:
    stated = {"driver.load_type": "integral_lamp", "driver.input_power_w": exact(30.0)}
    assert "driver.power_factor" not in follower.follow([stated], SUPPLY).values
    european = follower.follow([stated], SUPPLY, jurisdiction="eu").values["driver.power_factor"]
    assert european == Interval(0.84, 1.0)
    assert "driver.power_factor" not in follower.follow([stated], SUPPLY, jurisdiction="us-ca").values
