"""As few lines as brute force finds, honest bounds, no limit passed, the same answer every time."""

from __future__ import annotations

import dataclasses
import json
import os
import random
import subprocess
import sys
from collections.abc import Sequence

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from compat.plan.packing_bounds import least_lines_of_sizes
from compat.plan.packing_cpsat import CpSat
from compat.plan.packing_model import Answer, LinearModel
from compat.plan.packing_types import LineCapacity, PackItem
from compat.plan.propose_lines import propose
from tests.plan.packing_cases import (
    DALI,
    SMALL,
    assert_sound,
    brute_force,
    dali,
    figures,
    hide_solver,
    made_up,
    small_case,
)


@pytest.fixture
def without_solver(monkeypatch: pytest.MonkeyPatch) -> None:
    hide_solver(monkeypatch)


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
from tests.plan.packing_cases import made_up
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


def test_a_short_time_still_gives_lines_and_a_bound() -> None:
    items = made_up(120, seed=7)
    proposal = propose(items, [DALI], seconds=0.01)
    assert_sound(proposal, items, 0.2, DALI)
    longer = propose(items, [DALI], seconds=2.0)
    assert figures(longer) <= figures(proposal)
    assert longer.lower_bound >= proposal.lower_bound


def test_one_room_kept_whole_weighs_more_than_two_floors() -> None:
    # By trying everything: 3 lines with 1 room and 3 floors split, or with 2 rooms and 1 floor split.
    rows = [
        (4, "D", "y"),
        (6, "B", "x"),
        (1, "C", "y"),
        (7, "B", "x"),
        (4, "A", "x"),
        (5, "E", "z"),
        (1, "A", "x"),
    ]
    items = [dali(f"C{number}", size, room, floor) for number, (size, room, floor) in enumerate(rows)]
    assert brute_force(items, SMALL, 0.0) == (3, 1, 3)
    assert figures(propose(items, [SMALL], spare_share=0.0)) == (3, 1, 3)


class NeverSure(CpSat):
    """CP-SAT that never says that its answer is the best: only its bound tells."""

    def solve(self, model: LinearModel, work: float, *, hard: bool = False) -> Answer:
        return dataclasses.replace(super().solve(model, work, hard=hard), proven=False)


class Idle(CpSat):
    """A solver that finds nothing and proves nothing."""

    def solve(self, model: LinearModel, work: float, *, hard: bool = False) -> Answer:
        return Answer(None, 0, proven=False, work=0.01)


@pytest.mark.parametrize("seed", range(40))
def test_the_bound_of_a_search_not_finished_is_turned_into_splits(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("compat.plan.packing_cpsat.CpSat", NeverSure)
    items = small_case(seed)
    proposal = propose(items, [SMALL], spare_share=0.2)
    lines, rooms, floors = brute_force(items, SMALL, 0.2)
    assert figures(proposal) == (lines, rooms, floors)
    # The bound of a search that got to the end is the best itself.
    assert (proposal.least_room_splits, proposal.least_floor_splits) == (rooms, floors)


def test_a_solver_that_finds_nothing_proves_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("compat.plan.packing_cpsat.CpSat", Idle)
    proposal = propose(SAVED_BY_SEARCH, [SMALL], spare_share=0.0)
    assert (len(proposal.lines), proposal.lower_bound, proposal.optimal) == (3, 2, False)
