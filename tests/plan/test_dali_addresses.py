"""A DALI address plan gives each logical unit one address of 0 to 63, and each circuit a group."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from compat.dataset.read import Dataset
from compat.engine.lines import Line
from compat.model.plan import GROUPS, SHORT_ADDRESSES, DaliAddresses
from compat.model.schedule import Schedule
from compat.model.values import Content, Interval, TokenSet
from compat.planning.dali_addresses import dali_addresses
from compat.rulebook import nodes
from compat.rulebook.rules import ParsedRule
from tests.engine.made import exact, site
from tests.engine.test_lines import line_of, row

DALI = TokenSet.exactly("dali", "switched")
SCHEDULE = Schedule("a.csv", "0" * 64, ())


PlanOf = Callable[[Line], DaliAddresses]


def line_with(dataset: Dataset, units: list[tuple[Content, int]], **stated: Content) -> Line:
    rows = (
        row(number, f"C{number}", count, {"methods": DALI, "dali_addresses": each})
        for number, (each, count) in enumerate(units, 1)
    )
    return line_of(dataset, *rows, kind="dali_line", **stated)


@pytest.fixture
def plan_of(dataset: Dataset, rules: list[ParsedRule]) -> PlanOf:
    def plan(line: Line) -> DaliAddresses:
        return dali_addresses(SCHEDULE, line.circuits, [line], dataset, rules, site(dataset))

    return plan


@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(units=st.lists(st.tuples(st.integers(1, 4), st.integers(1, 30)), min_size=1, max_size=20))
def test_every_unit_has_one_address_or_a_reason(
    units: list[tuple[int, int]], dataset: Dataset, plan_of: PlanOf
) -> None:
    plan = plan_of(line_with(dataset, [(exact(each), count) for each, count in units]))
    addresses = [place.short_address for place in plan.places]
    assert addresses == list(range(len(addresses)))
    assert len(addresses) == plan.used["L1"] <= 64
    placed = {(place.circuit, place.number) for place in plan.places}
    left = {entry.circuit: entry.quantity for entry in plan.not_planned}
    for number, (each, count) in enumerate(units, 1):
        circuit = f"C{number}"
        done = sum(1 for name, _ in placed if name == circuit)
        assert done + left.get(circuit, 0) == count
        assert sum(1 for place in plan.places if place.circuit == circuit) == done * each
    groups: dict[tuple[str, int], set[int | None]] = {}
    for place in plan.places:
        groups.setdefault((place.circuit, place.unit), set()).add(place.group)
    assert all(len(found) == 1 for found in groups.values())
    of_own = [group for found in groups.values() for group in found if group is not None]
    assert sorted(of_own) == list(range(min(16, len(groups))))


def test_units_of_one_driver_are_neighbours(dataset: Dataset, plan_of: PlanOf) -> None:
    plan = plan_of(line_with(dataset, [(exact(2), 2)]))
    found = [(place.number, place.unit, place.short_address) for place in plan.places]
    assert found == [(1, 1, 0), (1, 2, 1), (2, 1, 2), (2, 2, 3)]


def test_a_driver_is_never_addressed_in_part(dataset: Dataset, plan_of: PlanOf) -> None:
    plan = plan_of(line_with(dataset, [(exact(1), 63), (exact(2), 1), (exact(1), 1)]))
    assert [(left.circuit, left.quantity) for left in plan.not_planned] == [("C2", 1)]
    assert plan.places[-1].circuit == "C3"
    assert plan.used == {"L1": 64}


def test_circuits_past_16_have_no_group(dataset: Dataset, plan_of: PlanOf) -> None:
    plan = plan_of(line_with(dataset, [(exact(1), 1)] * 18))
    assert [place.group for place in plan.places] == [*range(16), None, None]
    assert plan.notes == [
        "Line L1 takes 18 groups, one for each circuit or colour channel; those after the first 16 have no "
        "group of their own."
    ]


@pytest.mark.parametrize(
    ("colour", "groups"),
    [("tunable_white", [0, 1, 0, 1, 2]), (None, [0, 1, 0, 1, 2]), ("none", [0, 0, 0, 0, 1])],
)
def test_channels_of_a_colour_have_groups_of_their_own(
    colour: str | None, groups: list[int], dataset: Dataset, plan_of: PlanOf
) -> None:
    """Warm and cool of two luminaires with an address for each, then another circuit."""
    traits: dict[str, Content] = {"methods": DALI, "dali_addresses": exact(2), "colour": colour}
    rows = (row(1, "C1", 2, traits), row(2, "C2", 1, {"methods": DALI, "dali_addresses": exact(1)}))
    plan = plan_of(line_of(dataset, *rows, kind="dali_line"))
    assert [place.group for place in plan.places] == groups


def test_plain_gear_beside_colour_channels_moves_with_neither(dataset: Dataset, plan_of: PlanOf) -> None:
    white: dict[str, Content] = {"methods": DALI, "dali_addresses": exact(1), "colour": "none"}
    colour: dict[str, Content] = {"methods": DALI, "dali_addresses": exact(2), "colour": "tunable_white"}
    plan = plan_of(line_of(dataset, row(1, "A", 1, colour), row(2, "A", 1, white), kind="dali_line"))
    assert [place.group for place in plan.places] == [0, 1, 2]


def test_control_devices_of_version_1_count_among_the_addresses(dataset: Dataset, plan_of: PlanOf) -> None:
    stated: dict[str, Content] = {
        "dali_version": "version_1",
        "dali_addressing": "addressed",
        "dali_control_device_addresses": exact(4),
    }
    plan = plan_of(line_with(dataset, [(exact(1), 64)], **stated))
    assert plan.used == {"L1": 60}
    assert [(left.circuit, left.quantity) for left in plan.not_planned] == [("C1", 4)]


def test_the_rules_set_the_limits_that_the_format_has(rules: list[ParsedRule]) -> None:
    limits = {
        rule.rule.demand: rule.limit.value
        for rule in rules
        if rule.rule.scope == "bus" and isinstance(rule.limit, nodes.Number)
    }
    assert limits["line.dali_addresses"] == SHORT_ADDRESSES
    assert limits["line.groups_wanted"] == GROUPS


@pytest.mark.parametrize("units", [None, Interval(1, 2), exact(0)])
def test_what_has_no_whole_number_of_units_is_listed(
    units: Content, dataset: Dataset, plan_of: PlanOf
) -> None:
    plan = plan_of(line_with(dataset, [(units, 7), (exact(1), 1)]))
    (left,) = plan.not_planned
    assert (left.circuit, left.quantity) == ("C1", 7)
    assert plan.used == {"L1": 1}


def test_broadcast_is_noted(dataset: Dataset, plan_of: PlanOf) -> None:
    plan = plan_of(line_with(dataset, [(exact(1), 1)], dali_addressing="broadcast"))
    assert plan.notes == ["Line L1 is commanded by broadcast: its addresses serve maintenance only."]
