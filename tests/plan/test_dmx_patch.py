"""A DMX patch never overlaps, never splits a luminaire, and leaves nothing out in silence."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from itertools import product

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from compat.dataset.read import Dataset
from compat.engine.lines import Line
from compat.model.plan import DmxPatch
from compat.model.schedule import Schedule
from compat.model.values import Content, Interval, TokenSet, Trait
from compat.physics.dmx_universes import universes_between
from compat.planning.dmx_patch import dmx_patch
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


ZONE, ROW = "O0048", "O0050"  # outputs that send 4 and 24 slots


def on_output(
    dataset: Dataset, output: str | None, *footprints: tuple[int, int], individual: bool = False
) -> Line:
    """Circuits with the footprint and the number of their luminaires, all on one kind of output."""
    rows = (
        replace(
            row(number, f"C{number}", count, {"methods": DMX, "dmx_slots": exact(slots)}),
            output_id=output,
            circuit_traits={"wanted_individual_control": Trait(individual)},
        )
        for number, (slots, count) in enumerate(footprints, 1)
    )
    return line_of(dataset, *rows, kind="dmx_segment")


def spans(patch: DmxPatch) -> list[tuple[str, int, int, int]]:
    found = [
        (place.circuit, place.universe, place.start_address, place.end_address) for place in patch.places
    ]
    return list(dict.fromkeys(found))


def test_luminaires_of_a_zone_share_its_address(dataset: Dataset) -> None:
    """36 of 4 slots on an output of 4 slots take 4 slots, not 144."""
    patch = patch_of(dataset, on_output(dataset, ZONE, (4, 36)))
    assert len(patch.places) == 36
    assert spans(patch) == [("C1", 1, 1, 4)]
    assert patch.not_planned == []
    assert patch.notes == [
        "Circuit C1: its 36 luminaires share one start address, since output O0048 sends 4 slots."
    ]


def test_luminaires_that_an_output_holds_each_by_itself_do_not_share(dataset: Dataset) -> None:
    patch = patch_of(dataset, on_output(dataset, ROW, (4, 6)))
    assert [place.start_address for place in patch.places] == [1, 5, 9, 13, 17, 21]
    assert patch.notes == []


def test_luminaires_set_one_by_one_never_share(dataset: Dataset) -> None:
    patch = patch_of(dataset, on_output(dataset, ZONE, (2, 5), individual=True))
    assert [place.start_address for place in patch.places] == [1, 3]
    (left,) = patch.not_planned
    assert (left.circuit, left.quantity, left.reason) == ("C1", 3, "no slot that its output sends is left")


def test_no_luminaire_beyond_what_its_output_sends(dataset: Dataset) -> None:
    """Two zones on one line lie side by side in the slots of their output; a third has none left."""
    patch = patch_of(dataset, on_output(dataset, ZONE, (2, 9), (5, 1), (2, 9), (1, 9)))
    assert spans(patch) == [("C1", 1, 1, 2), ("C3", 1, 3, 4)]
    assert [(left.circuit, left.quantity, left.reason) for left in patch.not_planned] == [
        ("C2", 1, "it takes 5 slots; its output sends 4"),
        ("C4", 9, "no slot that its output sends is left"),
    ]


def test_an_output_of_512_slots_is_no_zone(dataset: Dataset) -> None:
    patch = patch_of(dataset, on_output(dataset, "O0047", (3, 200)))
    assert patch.universes == {"L1": 2}
    assert len(spans(patch)) == 200


def test_large_footprints_take_no_more_universes_than_told(dataset: Dataset) -> None:
    """In the order of the schedule 200 + 200, 312, 312 are three universes; two hold them."""
    patch = patch_of(dataset, on_output(dataset, None, (200, 2), (312, 2)))
    assert patch.universes == {"L1": 2}
    assert spans(patch) == [
        ("C1", 1, 1, 200), ("C1", 2, 1, 200), ("C2", 1, 201, 512), ("C2", 2, 201, 512),
    ]  # fmt: skip


@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(sizes=st.lists(st.integers(30, 512), min_size=1, max_size=7))
def test_universes_against_brute_force(sizes: list[int], dataset: Dataset) -> None:
    patch = patch_of(dataset, on_output(dataset, None, *((size, 1) for size in sizes)))
    fewest = next(
        count
        for count in range(1, len(sizes) + 1)
        for ways in product(range(count), repeat=len(sizes))
        if all(sum(s for s, w in zip(sizes, ways, strict=True) if w == u) <= 512 for u in range(count))
    )
    needed = universes_between([(exact(size), 1) for size in sizes])
    assert needed.low <= fewest <= patch.universes["L1"] <= needed.high


@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(
    rows=st.lists(
        st.tuples(
            st.integers(1, 30), st.integers(1, 9), st.sampled_from([None, ZONE, ROW, "O0047"]), st.booleans()
        ),
        min_size=1,
        max_size=6,
    )
)
def test_circuits_never_overlap_and_stay_in_their_window(
    rows: list[tuple[int, int, str | None, bool]], dataset: Dataset
) -> None:
    made = (
        replace(
            row(number, f"C{number}", count, {"methods": DMX, "dmx_slots": exact(slots)}),
            output_id=output,
            circuit_traits={"wanted_individual_control": Trait(individual)},
        )
        for number, (slots, count, output, individual) in enumerate(rows, 1)
    )
    patch = patch_of(dataset, line_of(dataset, *made, kind="dmx_segment"))
    taken: dict[tuple[int, int], set[tuple[str, int]]] = {}
    for place in patch.places:
        for slot in range(place.start_address, place.end_address + 1):
            taken.setdefault((place.universe, slot), set()).add((place.circuit, place.start_address))
    assert all(len(found) == 1 for found in taken.values())
    left = Counter[str]()
    for entry in patch.not_planned:
        left[entry.circuit] += entry.quantity
    for number, (slots, count, output, individual) in enumerate(rows, 1):
        mine = [place for place in patch.places if place.circuit == f"C{number}"]
        window = {ZONE: 4, ROW: 24}.get(output or "", 512)
        assert len(mine) + left[f"C{number}"] == count
        assert all(place.end_address <= window for place in mine)
        assert all(place.universe == 1 for place in mine if window < 512)
        starts = {(place.universe, place.start_address) for place in mine}
        if individual or slots * count <= window or window == 512:
            assert len(starts) == len(mine)
        else:
            assert len(starts) <= 1


def mixed(dataset: Dataset, *methods: TokenSet | None, **stated: Content) -> Line:
    rows = (
        row(number, f"C{number}", 2, {"methods": accepted, "dmx_slots": exact(3), "dali_addresses": exact(1)})
        for number, accepted in enumerate(methods, 1)
    )
    return line_of(dataset, *rows, **stated)


def test_a_row_of_another_kind_on_a_line_silences_nobody(dataset: Dataset) -> None:
    dali, lamp = TokenSet.exactly("dali", "switched"), TokenSet.exactly("reverse_phase")
    patch = patch_of(dataset, mixed(dataset, DMX, DMX, dali, lamp))
    assert patch.places == []
    assert [(left.line, left.circuit, left.quantity) for left in patch.not_planned] == [
        ("L1", "C1", 2), ("L1", "C2", 2),
    ]  # fmt: skip
    assert {left.reason for left in patch.not_planned} == {
        "its line has circuits that cannot be on a DMX line: C3, C4"
    }


def test_a_line_that_may_be_of_either_kind_is_listed(dataset: Dataset) -> None:
    patch = patch_of(dataset, mixed(dataset, TokenSet.exactly("dali", "dmx"), None))
    assert [left.circuit for left in patch.not_planned] == ["C1", "C2"]
    assert {left.reason for left in patch.not_planned} == {
        "the kind of its line is not known: state that it is a DMX line"
    }


def test_a_circuit_on_a_line_stated_to_be_another_is_listed(dataset: Dataset) -> None:
    patch = patch_of(dataset, mixed(dataset, DMX, kind="dali_line"))
    assert [(left.circuit, left.reason) for left in patch.not_planned] == [
        ("C1", "its line is of another kind: DALI line")
    ]


def test_lines_of_another_kind_are_left_alone(dataset: Dataset) -> None:
    line = line_of(dataset, row(1, "A", 3, {"dmx_slots": exact(3)}), kind="dali_line")
    patch = patch_of(dataset, line)
    assert (patch.places, patch.universes, patch.not_planned) == ([], {}, [])
