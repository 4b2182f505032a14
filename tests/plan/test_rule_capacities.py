"""What a line holds follows from the rules, and moves with them."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from compat.dataset.read import Dataset
from compat.engine.lines import Line
from compat.model.values import Content, Interval, TokenSet
from compat.planning.rule_capacities import capacities, room_for
from compat.rulebook.rules import ParsedRule
from tests.engine.made import exact, rule, site
from tests.engine.test_lines import line_of, row

DALI: dict[str, Content] = {
    "methods": TokenSet.exactly("dali"),
    "dali_addresses": exact(1),
    "dali_current_ma": Interval(1, 2),
}
STATED: dict[str, Content] = {
    "kind": "dali_line",
    "dali_addressing": "addressed",
    "dali_version": "version_2",
    "dali_supply_guaranteed_ma": Interval(190, 200),
    "dali_control_device_current_ma": Interval(10, 18),
    "dali_control_device_addresses": exact(4),
}
CURRENT, ADDRESSES, VERSION_1, SUPPLIES = "R0120", "R0122", "R0124", "R0121"


def dali_line(dataset: Dataset, **stated: Content) -> Line:
    return line_of(dataset, row(1, "A", 10, DALI), **{**STATED, **stated})


def most(line: Line, rules: list[ParsedRule], dataset: Dataset) -> dict[str, float]:
    return {name: one.most for name, one in capacities(line, rules, site(dataset), dataset).items()}


def test_a_dali_line_by_address_and_current(dataset: Dataset, rules: list[ParsedRule]) -> None:
    """The low end of what is allowed, less the high end of what is taken before any circuit."""
    found = most(dali_line(dataset), rules, dataset)
    assert found == {ADDRESSES: 64.0, CURRENT: 172.0}


def test_the_weight_of_a_circuit_is_its_high_end(dataset: Dataset, rules: list[ParsedRule]) -> None:
    line = dali_line(dataset)
    found = capacities(line, rules, site(dataset), dataset)
    assert (found[ADDRESSES].weight(line), found[CURRENT].weight(line)) == (10.0, 20.0)
    assert found[CURRENT].label(dataset.vocabulary) == "DALI current of control gear"
    assert found[CURRENT].unit_symbol(dataset.vocabulary) == "mA"
    silent = line_of(dataset, row(1, "A", 10, {**DALI, "dali_addresses": None}), **STATED)
    assert math.isnan(found[ADDRESSES].weight(silent))


def test_a_broadcast_line_has_no_limit_of_addresses(dataset: Dataset, rules: list[ParsedRule]) -> None:
    assert most(dali_line(dataset, dali_addressing="broadcast"), rules, dataset) == {CURRENT: 172.0}


def test_version_1_counts_control_devices(dataset: Dataset, rules: list[ParsedRule]) -> None:
    line = dali_line(dataset, dali_version="version_1")
    found = capacities(line, rules, site(dataset), dataset)
    assert found[VERSION_1].most == 60.0
    assert room_for("line.dali_addresses", found.values()) == 60.0
    assert room_for("line.dmx_slots", found.values()) == math.inf


def test_a_limit_that_is_not_known_is_left_out(dataset: Dataset, rules: list[ParsedRule]) -> None:
    assert CURRENT not in most(dali_line(dataset, dali_supply_guaranteed_ma=None), rules, dataset)


def test_a_limit_that_is_used_up_holds_nothing(dataset: Dataset, rules: list[ParsedRule]) -> None:
    stated: dict[str, Content] = {
        "dali_supply_guaranteed_ma": exact(10),
        "dali_control_device_current_ma": exact(30),
    }
    assert most(dali_line(dataset, **stated), rules, dataset)[CURRENT] == 0.0


def test_every_bus_supply_counts_where_it_is_stated(dataset: Dataset, rules: list[ParsedRule]) -> None:
    assert most(dali_line(dataset, dali_supply_max_ma=exact(200)), rules, dataset)[SUPPLIES] == 50.0


@pytest.mark.parametrize("wanted", [True, False, None])
def test_a_dmx_line_whatever_is_wanted_of_it(
    wanted: bool | None, dataset: Dataset, rules: list[ParsedRule]
) -> None:
    stated: dict[str, Content] = {
        "kind": "dmx_segment",
        "dmx_universes": exact(1),
        "segments": exact(2),
        "wanted_individual_control": wanted,
    }
    line = line_of(dataset, row(1, "A", 10, {"dmx_slots": exact(3)}), **stated)
    assert most(line, rules, dataset) == {"R0160": 512.0, "R0162": 64.0}


def test_another_limit_in_the_rule_is_another_capacity(dataset: Dataset, rules: list[ParsedRule]) -> None:
    mine = rule(
        dataset,
        ADDRESSES,
        scope="bus",
        applies="line.kind == dali_line",
        demand="2 * line.dali_addresses + line.driver_count / 2 - 1",
        at_most="40",
    )
    found = capacities(dali_line(dataset), [mine], site(dataset), dataset)[ADDRESSES]
    assert found.most == 41.0
    assert found.weight(dali_line(dataset)) == 25.0


@pytest.mark.parametrize(
    ("applies", "counts"),
    [
        ("line.driver_count > 100", True),
        ("type_8 in line.dali_device_types", True),
        ("line.wanted_colour_control", True),
        ("line.dali_version == version_1", False),
    ],
)
def test_a_rule_counts_unless_what_is_stated_excludes_it(
    applies: str, counts: bool, dataset: Dataset
) -> None:
    """Circuits that come later, or another wish, may make it apply."""
    made = rule(dataset, scope="bus", applies=applies, demand="line.dali_addresses", at_most="10")
    stated: dict[str, Content] = {"wanted_colour_control": False}
    assert bool(most(dali_line(dataset, **stated), [made], dataset)) == counts


@pytest.mark.parametrize(
    "fields",
    [
        {"demand": "line.dali_addresses", "at_most": "10", "breach": "marginal"},
        {"demand": "line.dali_addresses", "at_least": "10"},
        {"demand": "line.dali_addresses", "at_most": "line.driver_count"},
        {"demand": "line.dali_addresses * line.dali_addresses", "at_most": "10"},
        {"demand": "10 - line.dali_addresses", "at_most": "10"},
        {"demand": "line.driver_types", "at_most": "1"},
        {"demand": "line.groups_wanted", "at_most": "16"},
        {"applies": "line.kind == dmx_segment", "demand": "line.dali_addresses", "at_most": "10"},
    ],
)
def test_what_does_not_add_up_is_no_capacity(fields: dict[str, str], dataset: Dataset) -> None:
    made = rule(dataset, scope="bus", **{"applies": "line.kind == dali_line", **fields})
    assert most(dali_line(dataset), [made], dataset) == {}
    of_pairing = replace(made, rule=made.rule.model_copy(update={"scope": "pairing"}))
    assert most(dali_line(dataset), [of_pairing], dataset) == {}
