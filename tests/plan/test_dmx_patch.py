"""A DMX patch never overlaps, never splits a luminaire, and leaves nothing out in silence."""

from __future__ import annotations

from collections import Counter

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from compat.dataset.read import Dataset
from compat.engine.lines import Line
from compat.model.plan import DmxPatch
from compat.model.schedule import Schedule
from compat.model.values import Content, Interval, TokenSet
from compat.physics.dmx_universes import universes_between
from compat.plan.dmx_patch import dmx_patch
from tests.engine.made import exact
from tests.engine.test_lines import line_of, row

DMX = TokenSet.exactly("dmx", "switched")
SCHEDULE = Schedule("a.csv", "0" * 64, ())


def line_with(dataset: Dataset, footprints: list[tuple[Content, int]], **stated: Content) -> Line:
    rows = (
        row(number, f"C{number}", count, {"methods": DMX, "dmx_slots": slots})
        for number, (slots, count) in enumerate(footprints, 1)
    )
    return line_of(dataset, *rows, kind="dmx_segment", **stated)


def patch_of(dataset: Dataset, *lines: Line) -> DmxPatch:
    return dmx_patch(SCHEDULE, [circuit for line in lines for circuit in line.circuits], lines, dataset)


@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(footprints=st.lists(st.tuples(st.integers(1, 512), st.integers(1, 30)), min_size=1, max_size=6))
def test_no_slot_is_used_twice_and_none_is_split(footprints: list[tuple[int, int]], dataset: Dataset) -> None:
    patch = patch_of(dataset, line_with(dataset, [(exact(slots), count) for slots, count in footprints]))
    taken = Counter(
        (place.universe, slot)
        for place in patch.places
        for slot in range(place.start_address, place.end_address + 1)
    )
    assert max(taken.values()) == 1
    assert all(1 <= slot <= 512 for _, slot in taken)
    assert sum(taken.values()) == sum(slots * count for slots, count in footprints)
    assert patch.not_planned == []
    needed = universes_between([(exact(slots), count) for slots, count in footprints])
    assert needed.low <= patch.universes["L1"]
    assert {place.universe for place in patch.places} == set(range(1, patch.universes["L1"] + 1))


def test_places_follow_the_schedule(dataset: Dataset) -> None:
    patch = patch_of(dataset, line_with(dataset, [(exact(4), 2), (exact(3), 1)]))
    found = [(place.circuit, place.number, place.start_address, place.end_address) for place in patch.places]
    assert found == [("C1", 1, 1, 4), ("C1", 2, 5, 8), ("C2", 1, 9, 11)]


def test_w096_150_luminaires_of_4_slots(dataset: Dataset) -> None:
    patch = patch_of(dataset, line_with(dataset, [(exact(4), 150)], dmx_universes=exact(1)))
    assert patch.universes == {"L1": 2}
    assert patch.places[127].end_address == 512
    assert (patch.places[128].universe, patch.places[128].start_address) == (2, 1)
    assert patch.notes == ["Line L1 takes 2 universes; the project has 1 for it."]


def test_w100_a_luminaire_that_would_pass_512_goes_on(dataset: Dataset) -> None:
    patch = patch_of(dataset, line_with(dataset, [(exact(509), 1), (exact(4), 1), (exact(3), 1)]))
    found = [(place.universe, place.start_address) for place in patch.places]
    assert found == [(1, 1), (2, 1), (1, 510)]


@pytest.mark.parametrize("slots", [None, Interval(3, 4), exact(2.5), exact(0), exact(513)])
def test_what_has_no_whole_footprint_is_listed(slots: Content, dataset: Dataset) -> None:
    patch = patch_of(dataset, line_with(dataset, [(slots, 7), (exact(1), 1)]))
    (left,) = patch.not_planned
    assert (left.line, left.circuit, left.quantity) == ("L1", "C1", 7)
    assert left.reason
    assert [place.circuit for place in patch.places] == ["C2"]


def test_a_circuit_without_a_line_is_listed(dataset: Dataset) -> None:
    line = line_with(dataset, [(exact(1), 1)])
    other = line_with(dataset, [(exact(1), 1), (exact(1), 5)])
    patch = dmx_patch(SCHEDULE, [*line.circuits, other.circuits[1]], [line], dataset)
    (left,) = patch.not_planned
    assert (left.line, left.circuit, left.quantity) == ("", "C2", 5)
    assert left.reason == "the circuit names no line"


def test_lines_of_another_kind_are_left_alone(dataset: Dataset) -> None:
    line = line_of(dataset, row(1, "A", 3, {"dmx_slots": exact(3)}), kind="dali_line")
    patch = patch_of(dataset, line)
    assert (patch.places, patch.universes, patch.not_planned) == ([], {}, [])
