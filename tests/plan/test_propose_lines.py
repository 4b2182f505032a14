"""Lines proposed for circuits: never over a limit, as few as brute force finds, the same every time."""

from __future__ import annotations

import io
import itertools
import json
import os
import random
import subprocess
import sys
from collections.abc import Iterator, Sequence

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rich.console import Console

from compat.plan.packing_bounds import least_lines_of_sizes
from compat.plan.packing_progress import PackingBar
from compat.plan.packing_types import LineCapacity, PackItem, Progress, Proposal, Unplaced
from compat.plan.propose_lines import propose, usual_capacities

DALI = LineCapacity("dali_line", {"dali_addresses": 64.0, "dali_current_ma": 200.0})
DMX = LineCapacity("dmx_segment", {"dmx_slots": 512.0, "dmx_unit_loads": 32.0})
PAIR = LineCapacity("analog_pair", {})
SMALL = LineCapacity("dali_line", {"dali_addresses": 10.0, "dali_current_ma": 12.0})


def hide_solver(patch: pytest.MonkeyPatch) -> None:
    """As if the extra were not installed."""
    patch.setitem(sys.modules, "ortools.sat.python", None)


@pytest.fixture
def without_solver(monkeypatch: pytest.MonkeyPatch) -> None:
    hide_solver(monkeypatch)


def dali(name: str, addresses: float, room: str = "", floor: str = "", ma: float = 0.0) -> PackItem:
    return PackItem(name, room, floor, "dali_line", {"dali_addresses": addresses, "dali_current_ma": ma})


def made_up(count: int, seed: int, most: int = 16) -> list[PackItem]:
    rng = random.Random(seed)
    rooms = [(f"Room {number}", f"Floor {rng.randrange(3)}") for number in range(1, count // 3 + 2)]
    found = []
    for number in range(1, count + 1):
        room, floor = rng.choice(rooms)
        addresses = rng.randint(1, most)
        found.append(dali(f"C{number}", addresses, room, floor, addresses * rng.choice((1.5, 2.0, 4.0))))
    return found


def partitions(items: Sequence[PackItem]) -> Iterator[list[list[PackItem]]]:
    """Every way to put the items in heaps, in any number."""
    if not items:
        yield []
        return
    first, *rest = items
    for heaps in partitions(rest):
        yield [[first], *heaps]
        for place, heap in enumerate(heaps):
            yield [*heaps[:place], [first, *heap], *heaps[place + 1 :]]


def splits(heaps: Sequence[Sequence[PackItem]], *keys: str) -> int:
    """Places on heaps less one for each place, over all places that are named."""
    on = [
        {tuple(getattr(item, key) for key in keys) for item in heap if getattr(item, keys[-1])}
        for heap in heaps
    ]
    return sum(len(one) for one in on) - len(set().union(*on))


def brute_force(items: Sequence[PackItem], capacity: LineCapacity, spare: float) -> tuple[int, int, int]:
    """Fewest lines, then fewest room splits, then fewest floor splits, by trying everything."""
    return min(
        (len(heaps), splits(heaps, "floor", "room"), splits(heaps, "floor"))
        for heaps in partitions(items)
        if all(
            sum(item.demands[key] for item in heap) <= limit * (1 - spare) + 1e-9
            for heap in heaps
            for key, limit in capacity.limits.items()
        )
    )


def small_case(seed: int) -> list[PackItem]:
    rng = random.Random(seed)
    rooms = [("Hall", "Ground"), ("Hall", "First"), ("Study", "First"), ("Attic", ""), ("", "Ground")]
    found = []
    for number in range(rng.randint(2, 7)):
        room, floor = rng.choice(rooms)
        found.append(dali(f"C{number}", rng.randint(1, 7), room, floor, rng.choice((0.5, 2.0, 3.5, 6.0))))
    return found


def figures(proposal: Proposal) -> tuple[int, int, int]:
    return len(proposal.lines), proposal.room_splits, proposal.floor_splits


def assert_sound(proposal: Proposal, items: Sequence[PackItem], spare: float, *kinds: LineCapacity) -> None:
    """Every circuit once, on a line of its kind, whole, with no limit passed and no bound above the lines."""
    by_name = {item.name: item for item in items}
    limits = {capacity.kind: capacity.limits for capacity in kinds}
    placed = [name for line in proposal.lines for name in line.items]
    assert sorted(placed + [one.name for one in proposal.unplaced]) == sorted(by_name)
    assert len({line.name for line in proposal.lines}) == len(proposal.lines)
    for line in proposal.lines:
        assert line.items
        assert {by_name[name].kind for name in line.items} == {line.kind}
        for key, limit in limits[line.kind].items():
            total = sum(by_name[name].demands[key] for name in line.items)
            assert total <= limit * (1 - spare) * (1 + 1e-9)
            assert line.used[key] == pytest.approx(total)
    assert 0 <= proposal.lower_bound <= len(proposal.lines)
    assert proposal.gap == len(proposal.lines) - proposal.lower_bound
    assert proposal.optimal == (proposal.gap == 0)
    assert 0 <= proposal.least_room_splits <= proposal.room_splits
    assert 0 <= proposal.least_floor_splits <= proposal.floor_splits


@pytest.mark.parametrize("seed", range(40))
def test_small_cases_are_as_good_as_brute_force_finds(seed: int) -> None:
    items = small_case(seed)
    spare = (0.0, 0.2, 0.3)[seed % 3]
    proposal = propose(items, [SMALL], spare_share=spare)
    assert_sound(proposal, items, spare, SMALL)
    assert figures(proposal) == brute_force(items, SMALL, spare)
    assert proposal.optimal
    assert proposal.distance() == "optimal"
    assert (proposal.least_room_splits, proposal.least_floor_splits) == figures(proposal)[1:]


@pytest.mark.parametrize("seed", range(40))
@pytest.mark.usefixtures("without_solver")
def test_without_the_solver_bounds_hold_against_brute_force(seed: int) -> None:
    items = small_case(seed)
    proposal = propose(items, [SMALL], spare_share=0.2)
    assert_sound(proposal, items, 0.2, SMALL)
    best = brute_force(items, SMALL, 0.2)
    assert proposal.lower_bound <= best[0]
    assert figures(proposal) >= best
    if figures(proposal)[0] == best[0]:
        assert proposal.least_room_splits <= best[1]
    if figures(proposal)[:2] == best[:2]:
        assert proposal.least_floor_splits <= best[2]


@pytest.mark.parametrize("seed", range(40, 60))
@pytest.mark.parametrize("seconds", [0.0005, 0.005])
def test_bounds_hold_when_the_search_is_cut_short(seed: int, seconds: float) -> None:
    items = small_case(seed)
    best = brute_force(items, SMALL, 0.2)
    proposal = propose(items, [SMALL], seconds=seconds)
    assert proposal.lower_bound <= best[0]
    assert proposal.least_room_splits <= best[1] or len(proposal.lines) > best[0]
    assert proposal.least_floor_splits <= best[2] or figures(proposal)[:2] != best[:2]


demand = st.one_of(
    st.integers(0, 30).map(float),
    st.integers(40, 70).map(float),
    st.floats(0, 30, allow_nan=False),
    st.sampled_from([0.1, 0.7, 1 / 3, 2 / 3, 12.8, 25.6, 51.2, 51.200001]),
)
circuit = st.builds(
    lambda room, floor, addresses, current: (room, floor, addresses, current),
    st.sampled_from(["", "Hall", "hall ", "Study", "Bath"]),
    st.sampled_from(["", "Ground", "First"]),
    demand,
    demand,
)


def as_items(rows: Sequence[tuple[str, str, float, float]]) -> list[PackItem]:
    return [dali(f"C{number}", row[2], row[0], row[1], row[3]) for number, row in enumerate(rows)]


@settings(max_examples=60, deadline=None)
@given(st.lists(circuit, min_size=6, max_size=30), st.sampled_from([0.0, 0.1, 0.2, 0.5]))
def test_no_limit_is_passed(rows: list[tuple[str, str, float, float]], spare: float) -> None:
    items = as_items(rows)
    assert_sound(propose(items, [DALI], spare_share=spare, seconds=0.3), items, spare, DALI)


@settings(max_examples=100, deadline=None)
@given(st.lists(circuit, max_size=40), st.sampled_from([0.0, 0.1, 0.2, 0.5]))
def test_no_limit_is_passed_without_the_solver(
    rows: list[tuple[str, str, float, float]], spare: float
) -> None:
    items = as_items(rows)
    with pytest.MonkeyPatch.context() as patch:
        hide_solver(patch)
        assert_sound(propose(items, [DALI], spare_share=spare), items, spare, DALI)


@pytest.mark.parametrize("count", [150, 400])
def test_many_circuits_are_within_the_limits_and_better_than_first_fit(count: int) -> None:
    items = made_up(count, seed=count)
    searched = propose(items, [DALI], seconds=2.0)
    assert_sound(searched, items, 0.2, DALI)
    with pytest.MonkeyPatch.context() as patch:
        hide_solver(patch)
        fallback = propose(items, [DALI])
    assert_sound(fallback, items, 0.2, DALI)
    assert figures(searched) < figures(fallback)


@settings(max_examples=150, deadline=None)
@given(st.lists(st.integers(1, 20), max_size=7), st.integers(20, 30))
def test_the_simple_bound_is_never_above_the_fewest(sizes: list[int], limit: int) -> None:
    items = [dali(f"C{number}", size) for number, size in enumerate(sizes)]
    fewest = brute_force(items, LineCapacity("dali_line", {"dali_addresses": float(limit)}), 0.0)[0]
    assert -(-sum(sizes) // limit) <= least_lines_of_sizes(sizes, limit) <= fewest


def test_the_order_given_does_not_matter() -> None:
    items = made_up(40, seed=3)
    first = propose(items, [DALI], seconds=1.5)
    for seed in (1, 2):
        shuffled = list(items)
        random.Random(seed).shuffle(shuffled)
        assert propose(shuffled, [DALI], seconds=1.5) == first
    assert "CP-SAT" in first.solver


PROGRAM = """
import json
from compat.plan.propose_lines import propose, usual_capacities
from tests.plan.test_propose_lines import made_up
proposal = propose(made_up(70, seed=11), usual_capacities(), seconds=1.5)
print(json.dumps([[line.items for line in proposal.lines], proposal.lower_bound, proposal.solver]))
"""


def test_two_processes_give_one_answer() -> None:
    answers = [
        subprocess.run(
            [sys.executable, "-c", PROGRAM],
            env={**os.environ, "PYTHONHASHSEED": hash_seed, "PYTHONPATH": os.pathsep.join(sys.path)},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for hash_seed in ("1", "2")
    ]
    assert answers[0] == answers[1]
    assert "CP-SAT" in json.loads(answers[0])[2]


@pytest.mark.parametrize(("count", "lines"), [(51, 1), (52, 2), (102, 2), (103, 3)])
def test_a_fifth_of_the_addresses_stays_free(count: int, lines: int) -> None:
    # 64 addresses less 20 % are 51.2, so 51 single drivers fill a line.
    proposal = propose([dali(f"C{number}", 1) for number in range(count)], usual_capacities())
    assert len(proposal.lines) == lines
    assert proposal.optimal


def test_without_spare_a_line_is_filled_to_its_limit() -> None:
    items = [dali(f"C{number}", 16, ma=50.0) for number in range(4)]
    assert len(propose(items, [DALI], spare_share=0.0).lines) == 1
    assert len(propose(items, [DALI], spare_share=0.01).lines) == 2


def test_sums_of_decimal_figures_are_not_split_by_their_last_bit() -> None:
    # Ten times 0.1 is 0.9999999999999999 or 1 by the order of adding; both are one unit load.
    capacity = LineCapacity("dmx_segment", {"dmx_unit_loads": 1.0})
    items = [
        PackItem(f"C{number}", "", "", "dmx_segment", {"dmx_unit_loads": 0.1 * 3 - 0.2})
        for number in range(10)
    ]
    assert len(propose(items, [capacity], spare_share=0.0).lines) == 1


def test_the_limit_that_binds_decides() -> None:
    # 40 mA of 160 mA: four on a line by current, though twelve would fit by addresses.
    items = [dali(f"C{number}", 4, ma=40.0) for number in range(8)]
    proposal = propose(items, [DALI])
    assert [line.used for line in proposal.lines] == [{"dali_addresses": 16.0, "dali_current_ma": 160.0}] * 2


@pytest.mark.parametrize("value", [None, float("nan"), float("inf")])
def test_a_demand_that_is_not_known_is_not_placed(value: float | None) -> None:
    demands = {"dali_addresses": 4.0} | ({} if value is None else {"dali_current_ma": value})
    known = dali("C2", 4)
    proposal = propose([PackItem("C1", "Hall", "", "dali_line", demands), known], [DALI])
    assert proposal.unplaced == (
        Unplaced("C1", "unknown_demand", "dali_current_ma", "its dali_current_ma is not known"),
    )
    assert [line.items for line in proposal.lines] == [("C2",)]


def test_a_demand_below_zero_is_not_placed() -> None:
    proposal = propose([dali("C1", -1)], [DALI])
    assert [one.cause for one in proposal.unplaced] == ["not_a_demand"]
    assert proposal.unplaced[0].reason == "its dali_addresses is -1; allowed is 0 or more"


def test_a_circuit_larger_than_a_line_says_by_what() -> None:
    proposal = propose([dali("C1", 70), dali("C2", 60), dali("C3", 51)], [DALI])
    assert [(one.name, one.cause, one.limit) for one in proposal.unplaced] == [
        ("C1", "larger_than_a_line", "dali_addresses"),
        ("C2", "larger_than_a_line", "dali_addresses"),
    ]
    assert proposal.unplaced[1].reason == (
        "its dali_addresses is 60; a line holds 64, of which 51.2 may be used with 20% spare"
    )
    assert propose([dali("C1", 70)], [DALI], spare_share=0.0).unplaced[0].reason == (
        "its dali_addresses is 70; a line holds 64"
    )


def test_a_kind_whose_lines_are_not_given_is_not_placed() -> None:
    proposal = propose([PackItem("C1", "", "", "other", {})], [DALI])
    assert proposal.unplaced == (
        Unplaced("C1", "no_such_line", None, "what a line of kind other holds is not given"),
    )
    assert proposal.lines == ()


@pytest.mark.parametrize("solver", [True, False])
def test_rooms_stay_together_when_it_costs_no_line(solver: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    if not solver:
        hide_solver(monkeypatch)
    # Each room fills a line of 51; by size alone circuits of different rooms would also fill it.
    sizes = {"A": (17, 17, 17), "B": (30, 11, 10), "C": (25, 26), "D": (9, 20, 22)}
    items = [
        dali(f"{room}{number}", size, room) for room, of in sizes.items() for number, size in enumerate(of)
    ]
    proposal = propose(items, [DALI])
    assert {line.items for line in proposal.lines} == {
        tuple(f"{room}{number}" for number in range(len(of))) for room, of in sizes.items()
    }
    assert (proposal.room_splits, proposal.least_room_splits) == (0, 0)


def test_a_line_is_saved_though_a_room_is_split() -> None:
    # 30 + 30 + 42 addresses are two lines of 51 only when a room is on both.
    items = [dali("A1", 20, "A"), dali("A2", 10, "A"), dali("B1", 20, "B"), dali("B2", 10, "B")]
    items += [dali("C1", 21, "C"), dali("C2", 21, "C")]
    proposal = propose(items, [DALI])
    assert figures(proposal)[:2] == (2, 1)
    assert proposal.least_room_splits == 1


def test_floors_stay_together_after_rooms() -> None:
    items = [dali(f"{floor}{number}", 17, f"{floor}{number}", floor) for floor in "ab" for number in range(3)]
    proposal = propose(items, [DALI])
    assert [line.items for line in proposal.lines] == [("a0", "a1", "a2"), ("b0", "b1", "b2")]
    assert proposal.floor_splits == 0


def test_one_name_on_two_floors_is_two_rooms() -> None:
    items = [dali("C1", 30, "Bath", "Ground"), dali("C2", 30, "Bath", "First")]
    assert propose(items, [DALI]).room_splits == 0
    same = [dali("C1", 30, "Bath", "Ground"), dali("C2", 30, " bath", "ground")]
    assert propose(same, [DALI]).room_splits == 1


def test_a_room_gives_its_floor_to_its_circuits() -> None:
    stated = [dali("C1", 30, "Bath", "First"), dali("C2", 30, "Bath", "")]
    proposal = propose(stated, [DALI])
    assert (proposal.room_splits, proposal.floor_splits) == (1, 1)


@pytest.mark.usefixtures("without_solver")
def test_the_answer_without_the_solver_has_the_same_form() -> None:
    items = made_up(60, seed=5)
    proposal = propose(items, [DALI])
    assert_sound(proposal, items, 0.2, DALI)
    assert proposal.solver == (
        "first fit decreasing by room; no solver, since the extra 'pack' is not installed"
    )
    assert proposal == propose(list(reversed(items)), [DALI])


def test_the_solver_is_never_worse_and_its_bounds_never_lower() -> None:
    for seed in (1, 2, 3):
        items = made_up(45, seed)
        with_solver = propose(items, [DALI], seconds=2.0)
        with pytest.MonkeyPatch.context() as patch:
            hide_solver(patch)
            without = propose(items, [DALI])
        assert "CP-SAT" in with_solver.solver
        assert "CP-SAT" not in without.solver
        assert figures(with_solver) <= figures(without)
        assert with_solver.lower_bound >= without.lower_bound


def test_lines_that_fit_to_the_last_address_are_found() -> None:
    # 51 = 26 + 25 = 13 + 13 + 13 + 12: nothing is left on either line.
    sizes = (26, 25, 13, 13, 13, 12)
    items = [dali(f"C{number}", size) for number, size in enumerate(sizes)]
    proposal = propose(items, [DALI])
    assert sum(sizes) == 102
    assert (len(proposal.lines), proposal.lower_bound) == (2, 2)


def test_the_bound_counts_circuits_that_cannot_share() -> None:
    # Three of 26 share no line of 51, though by their sum two lines would do.
    proposal = propose([dali(f"C{number}", 26) for number in range(3)], [DALI])
    assert (len(proposal.lines), proposal.lower_bound) == (3, 3)


def on_small_lines(*demands: tuple[float, float]) -> list[PackItem]:
    return [dali(f"C{number}", addresses, ma=ma) for number, (addresses, ma) in enumerate(demands)]


# By hand: 5 + 5 addresses with 4 + 2 mA, and 3 + 2 + 4 with 6 + 3 + 3 mA, fill two lines of 10 and 12 mA.
SAVED_BY_SEARCH = on_small_lines((3, 6), (5, 4), (5, 2), (2, 3), (4, 3))
# 18 addresses and 24 mA on lines of 10 and 12 mA: two lines by each sum. By brute force three are needed.
BOUND_BY_SEARCH = on_small_lines((2, 6), (2, 6), (3, 2), (3, 2), (3, 3), (3, 2), (2, 3))


@pytest.mark.parametrize(("items", "best"), [(SAVED_BY_SEARCH, 2), (BOUND_BY_SEARCH, 3)])
def test_a_gap_is_told_and_the_solver_closes_it(items: list[PackItem], best: int) -> None:
    assert brute_force(items, SMALL, 0.0)[0] == best
    with pytest.MonkeyPatch.context() as patch:
        hide_solver(patch)
        fallback = propose(items, [SMALL], spare_share=0.0)
    assert (len(fallback.lines), fallback.lower_bound, fallback.gap, fallback.optimal) == (3, 2, 1, False)
    assert fallback.distance() == "at most 1 line from the best"
    searched = propose(items, [SMALL], spare_share=0.0)
    assert (len(searched.lines), searched.lower_bound, searched.optimal) == (best, best, True)


def test_an_analogue_pair_carries_one_circuit() -> None:
    items = [PackItem(f"C{number}", "Hall", "Ground", "analog_pair", {}) for number in range(3)]
    proposal = propose(items, [PAIR])
    assert [line.items for line in proposal.lines] == [("C0",), ("C1",), ("C2",)]
    assert (proposal.lower_bound, proposal.optimal, proposal.room_splits) == (3, True, 0)


def test_an_analogue_pair_has_its_limit_too() -> None:
    pair = LineCapacity("analog_pair", {"control_current_ma": 10.0})
    items = [
        PackItem(name, "", "", "analog_pair", {"control_current_ma": ma})
        for name, ma in (("C1", 8.0), ("C2", 9.0))
    ]
    proposal = propose(items, [pair])
    assert [line.items for line in proposal.lines] == [("C1",)]
    assert [one.name for one in proposal.unplaced] == ["C2"]


def test_kinds_are_packed_apart_and_names_taken_are_left_out() -> None:
    items = [
        dali("C1", 3, "Hall"),
        PackItem("C2", "Hall", "", "dmx_segment", {"dmx_slots": 4.0, "dmx_unit_loads": 1.0}),
        PackItem("C3", "Hall", "", "analog_pair", {}),
    ]
    proposal = propose(items, usual_capacities(), taken={"L2"})
    assert [(line.name, line.kind, line.items) for line in proposal.lines] == [
        ("L1", "dali_line", ("C1",)),
        ("L3", "dmx_segment", ("C2",)),
        ("L4", "analog_pair", ("C3",)),
    ]
    assert proposal.room_splits == 0


def test_unit_loads_bind_a_segment() -> None:
    items = [
        PackItem(f"C{number}", "", "", "dmx_segment", {"dmx_slots": 4.0, "dmx_unit_loads": 1.0})
        for number in range(40)
    ]
    # 40 luminaires of one unit load each, 32 on a segment (EIA-485): 2 segments when none is kept free.
    assert len(propose(items, [DMX], spare_share=0.0).lines) == 2


def test_lines_and_circuits_come_in_the_order_of_floor_and_room() -> None:
    items = [dali(f"C{number}", 51, f"Room {number}", "") for number in (10, 2, 1)]
    assert [line.items for line in propose(items, [DALI]).lines] == [("C1",), ("C2",), ("C10",)]


def test_nothing_to_place_is_no_line() -> None:
    proposal = propose([], usual_capacities())
    assert (proposal.lines, proposal.unplaced, proposal.lower_bound, proposal.optimal) == ((), (), 0, True)


def test_circuits_that_take_nothing_share_a_line() -> None:
    assert len(propose([dali(f"C{number}", 0) for number in range(5)], [DALI]).lines) == 1


def test_a_short_time_still_gives_lines_and_a_bound() -> None:
    items = made_up(120, seed=7)
    proposal = propose(items, [DALI], seconds=0.01)
    assert_sound(proposal, items, 0.2, DALI)
    longer = propose(items, [DALI], seconds=2.0)
    assert figures(longer) <= figures(proposal)
    assert longer.lower_bound >= proposal.lower_bound


def test_progress_rises_to_the_end() -> None:
    told: list[Progress] = []
    items = made_up(60, seed=9) + [
        PackItem(f"D{number}", "", "", "dmx_segment", {"dmx_slots": 300.0, "dmx_unit_loads": 1.0})
        for number in range(3)
    ]
    propose(items, [DALI, DMX], seconds=1.0, progress=told.append)
    shares = [one.share for one in told]
    assert shares == sorted(shares)
    assert shares[0] == 0.0
    assert shares[-1] == pytest.approx(1.0)
    assert [kind for kind, _ in itertools.groupby(one.kind for one in told)] == ["dali_line", "dmx_segment"]


@pytest.mark.parametrize(
    ("terminal", "clock_s", "shown"), [(True, 1.9, False), (True, 2.0, True), (False, 60.0, False)]
)
def test_the_bar_is_shown_on_a_terminal_after_two_seconds(
    terminal: bool, clock_s: float, shown: bool
) -> None:
    written = io.StringIO()
    times = iter([0.0, clock_s, clock_s, clock_s])
    console = Console(file=written, force_terminal=terminal, width=80)
    with PackingBar(console, clock=lambda: next(times)) as bar:
        bar(Progress(0.5, "dali_line"))
        bar(Progress(0.75, "dali_line"))
    assert ("Packing circuits on lines" in written.getvalue()) == shown


@pytest.mark.parametrize(
    ("items", "capacities", "keywords", "message"),
    [
        ([], [DALI], {"spare_share": 1.0}, "spare_share is 1.0; allowed is a number from 0 to below 1"),
        ([], [DALI], {"spare_share": float("nan")}, "spare_share is nan"),
        ([], [DALI], {"seconds": 0.0}, "seconds is 0.0; allowed is a number above 0"),
        ([dali("C1", 1), dali("C1", 2)], [DALI], {}, "circuits given twice: C1"),
        ([], [DALI, SMALL], {}, "kinds given twice: dali_line"),
        ([], [LineCapacity("dali_line", {})], {}, "a line of kind dali_line has no limit"),
        ([], [LineCapacity("dali_line", {"x": 0.0})], {}, "x of dali_line is 0.0; allowed is above 0"),
    ],
)
def test_arguments_out_of_range_are_refused(
    items: list[PackItem], capacities: list[LineCapacity], keywords: dict[str, float], message: str
) -> None:
    with pytest.raises(ValueError, match=message):
        propose(items, capacities, **keywords)
