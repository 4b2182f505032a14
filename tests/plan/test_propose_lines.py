"""Lines proposed for circuits: spare, rooms, floors, kinds, and what is not placed."""

from __future__ import annotations

import io
import itertools

import pytest
from rich.console import Console

from compat.plan.packing_progress import PackingBar
from compat.plan.packing_types import LineCapacity, PackItem, Progress, Unplaced
from compat.plan.propose_lines import propose, usual_capacities
from tests.plan.packing_cases import (
    DALI,
    DMX,
    PAIR,
    SMALL,
    assert_sound,
    dali,
    figures,
    hide_solver,
    made_up,
)


@pytest.fixture
def without_solver(monkeypatch: pytest.MonkeyPatch) -> None:
    hide_solver(monkeypatch)


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


def test_a_real_digit_beyond_the_limit_is_not_rounded_away() -> None:
    # Three times 0.3333334 is 1.0000002: above one unit load, by less than a millionth.
    capacity = LineCapacity("dmx_segment", {"dmx_unit_loads": 1.0})
    items = [
        PackItem(f"C{number}", "", "", "dmx_segment", {"dmx_unit_loads": 0.3333334}) for number in range(3)
    ]
    assert len(propose(items, [capacity], spare_share=0.0).lines) == 2


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
