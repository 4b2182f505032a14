"""A DALI address plan gives each logical unit one address of 0 to 63, and each circuit a group."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from compat.dataset.read import Dataset
from compat.engine.lines import Line
from compat.model.plan import DaliAddresses
from compat.model.schedule import Schedule
from compat.model.values import Content, Interval, TokenSet
from compat.plan.dali_addresses import dali_addresses
from tests.engine.made import exact
from tests.engine.test_lines import line_of, row

DALI = TokenSet.exactly("dali", "switched")
SCHEDULE = Schedule("a.csv", "0" * 64, ())


def line_with(dataset: Dataset, units: list[tuple[Content, int]], **stated: Content) -> Line:
    rows = (
        row(number, f"C{number}", count, {"methods": DALI, "dali_addresses": each})
        for number, (each, count) in enumerate(units, 1)
    )
    return line_of(dataset, *rows, kind="dali_line", **stated)


def plan_of(dataset: Dataset, line: Line) -> DaliAddresses:
    return dali_addresses(SCHEDULE, line.circuits, [line], dataset)


@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(units=st.lists(st.tuples(st.integers(1, 4), st.integers(1, 30)), min_size=1, max_size=20))
def test_every_unit_has_one_address_or_a_reason(units: list[tuple[int, int]], dataset: Dataset) -> None:
    plan = plan_of(dataset, line_with(dataset, [(exact(each), count) for each, count in units]))
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
    assert all(place.group == int(place.circuit[1:]) - 1 for place in plan.places if place.group is not None)


def test_units_of_one_driver_are_neighbours(dataset: Dataset) -> None:
    plan = plan_of(dataset, line_with(dataset, [(exact(2), 2)]))
    found = [(place.number, place.unit, place.short_address) for place in plan.places]
    assert found == [(1, 1, 0), (1, 2, 1), (2, 1, 2), (2, 2, 3)]


def test_a_driver_is_never_addressed_in_part(dataset: Dataset) -> None:
    plan = plan_of(dataset, line_with(dataset, [(exact(1), 63), (exact(2), 1), (exact(1), 1)]))
    assert [(left.circuit, left.quantity) for left in plan.not_planned] == [("C2", 1)]
    assert plan.places[-1].circuit == "C3"
    assert plan.used == {"L1": 64}


def test_circuits_past_16_have_no_group(dataset: Dataset) -> None:
    plan = plan_of(dataset, line_with(dataset, [(exact(1), 1)] * 18))
    assert [place.group for place in plan.places] == [*range(16), None, None]
    assert plan.notes == [
        "Line L1 has 18 circuits and 16 groups: those after the first 16 have no group of their own."
    ]


@pytest.mark.parametrize("units", [None, Interval(1, 2), exact(0)])
def test_what_has_no_whole_number_of_units_is_listed(units: Content, dataset: Dataset) -> None:
    plan = plan_of(dataset, line_with(dataset, [(units, 7), (exact(1), 1)]))
    (left,) = plan.not_planned
    assert (left.circuit, left.quantity) == ("C1", 7)
    assert plan.used == {"L1": 1}


def test_broadcast_is_noted(dataset: Dataset) -> None:
    plan = plan_of(dataset, line_with(dataset, [(exact(1), 1)], dali_addressing="broadcast"))
    assert plan.notes == ["Line L1 is commanded by broadcast: its addresses serve maintenance only."]
