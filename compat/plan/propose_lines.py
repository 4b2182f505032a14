"""Lines proposed for circuits that are on none: as few as hold them, rooms and floors kept together.

The solver is OR-Tools CP-SAT, weighed against HiGHS by ``tests/bench/bench_packing.py``: made-up circuits,
the same models, the same first lines, one thread, 10 s for each, on a machine of two cores. Figures are
lines, room splits, floor splits, with the least that is proven in brackets, then processor seconds.

                          first fit      CP-SAT, windows           HiGHS, windows
    DALI    60 circuits     8, 0, 6      8, 0, 6   (8, 0, 6)        8, 0, 6   (8, 0, 5)
                                          2.5 s                     9.7 s
    DALI   300             36, 0, 37    36, 0, 35  (36, 0, 33)     36, 0, 34  (36, 0, 33)
                                          4.6 s                     9.8 s
    DALI 1,000            115, 1, 217  115, 1, 137 (115, 1, 112)  115, 1, 158 (115, 1, 112)
                                         10.8 s                     9.6 s
    DMX     60              3, 0, 1      proven best by first fit alone
    DMX    300             14, 0, 13    13, 0, 11  (13, 0, 10)     13, 0, 11  (13, 0, 10)
                                          9.5 s                     9.6 s
    DMX  1,000             47, 0, 46    45, 0, 54  (45, 0, 44)     46, 0, 49  (45, 0, 44)
                                         10.0 s                     8.5 s

As one model of all circuits on all lines neither gains at 300 and 1,000 circuits; at 60 DALI circuits CP-SAT
proves the best in 1.5 s and HiGHS does not in 10 s. CP-SAT was kept: it proves more, is faster on windows,
saves a line more at 1,000 DMX circuits, and its effort can be limited by counted work, so the answer does
not depend on the speed of the machine; HiGHS has the clock and the number of nodes only. HiGHS would be the
smaller package (3 MB against 30 MB) and finds fewer splits at 300 DALI circuits.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass

from compat.plan.packing_bounds import least_lines
from compat.plan.packing_cpsat import EXTRA, CpSat, LoadedWhenNeeded
from compat.plan.packing_first_fit import METHOD, first_fit
from compat.plan.packing_places import LARGEST_LIMIT, checked, in_order, problem_of
from compat.plan.packing_search import Budget, Search
from compat.plan.packing_types import (
    SINGLE_CIRCUIT_KINDS,
    LineCapacity,
    PackItem,
    Progress,
    ProgressCallback,
    Proposal,
    ProposedLine,
    Unplaced,
)

SPARE_SHARE = 0.2  # common practice, no source
SECONDS = 10.0


def usual_capacities(dali_supply_ma: float = 200.0) -> list[LineCapacity]:
    """The kinds of line and what one of each holds, keyed by the traits of a line.

    64 short addresses of control gear: IEC 62386-102. Current: what the bus supply guarantees; 200 mA is
    common practice, no source, and IEC 62386-101 allows 250 mA at most. 512 slots: ANSI E1.11. 32 unit
    loads: EIA-485, for one segment without a splitter. All from texts about these standards.
    """
    return [
        LineCapacity("dali_line", {"dali_addresses": 64.0, "dali_current_ma": dali_supply_ma}),
        LineCapacity("dmx_segment", {"dmx_slots": 512.0, "dmx_unit_loads": 32.0}),
        LineCapacity("analog_pair", {}),
    ]


def propose(
    items: Sequence[PackItem],
    capacities: Sequence[LineCapacity],
    spare_share: float = SPARE_SHARE,
    seconds: float = SECONDS,
    progress: ProgressCallback | None = None,
    taken: Collection[str] = (),
) -> Proposal:
    """Pack the circuits on lines of their kind, each circuit whole on one line.

    First the fewest lines, then the fewest rooms split between lines, then the fewest floors. No line
    is used beyond ``1 - spare_share`` of a limit (share from 0 to below 1). Circuits of an analogue
    pair are never packed together: a pair has one control, so each gets a pair of its own.
    ``seconds`` (above 0) limits the search; it is counted in work, not by the clock, so that the same
    circuits in any order give the same lines on every run with the same version of the solver.
    ``progress`` is told after each step of the search. ``taken``: names of lines not to be used again.

    Raises ValueError for two circuits of one name, two capacities of one kind, a limit out of range, a
    kind without limit that carries many circuits, or a share or time out of range.
    """
    _check(items, capacities, spare_share, seconds)
    solver = LoadedWhenNeeded()
    packed: list[_Packed] = []
    unplaced = _of_no_kind(items, capacities)
    begun = 0.0
    for capacity in capacities:
        of_kind = [item for item in items if item.kind == capacity.kind]
        share = len(of_kind) / max(1, len(items))
        here, not_here = checked(in_order(of_kind), capacity, spare_share)
        tell = _teller(progress, capacity.kind, begun, share)
        packed.append(_pack(here, capacity, spare_share, Budget(solver, seconds * share, tell)))
        unplaced += not_here
        begun += share
    return _proposal(packed, unplaced, _method(solver), taken)


def _teller(
    progress: ProgressCallback | None, kind: str, begun: float, share: float
) -> Callable[[float], None]:
    """From the share of one kind's work to the share of all."""

    def tell(part: float) -> None:
        if progress is not None:
            progress(Progress(min(1.0, begun + share * part), kind))

    return tell


@dataclass(frozen=True, slots=True)
class _Packed:
    """The lines of one kind with the figures for the answer."""

    lines: list[tuple[LineCapacity, list[PackItem]]]
    least_lines: int = 0
    splits: tuple[int, int] = (0, 0)
    least_splits: tuple[int, int] = (0, 0)


def _pack(items: list[PackItem], capacity: LineCapacity, spare_share: float, budget: Budget) -> _Packed:
    if not items:
        return _Packed([])
    if capacity.kind in SINGLE_CIRCUIT_KINDS:
        return _Packed([(capacity, [item]) for item in items], least_lines=len(items))
    problem = problem_of(items, capacity, spare_share)
    budget.tell(0.0)
    least = least_lines(problem, range(len(items)))
    search = Search(problem, first_fit(problem, least), least, budget)
    if search.score != search.least and budget.solver.available():
        search.run()
    budget.tell(1.0)
    found = search.score
    return _Packed(
        [(capacity, [items[item] for item in sorted(line)]) for line in sorted(search.lines, key=min)],
        search.least_lines,
        (found.room_splits, found.floor_splits),
        (search.least_room_splits, search.least_floor_splits),
    )


def _proposal(
    packed: Sequence[_Packed], unplaced: list[Unplaced], solver: str, taken: Collection[str]
) -> Proposal:
    lines: list[ProposedLine] = []
    number = 0
    for capacity, items in (line for part in packed for line in part.lines):
        number += 1
        while f"L{number}" in taken:
            number += 1
        used = {key: math.fsum(item.demands[key] for item in items) for key in capacity.limits}
        lines.append(ProposedLine(f"L{number}", capacity.kind, tuple(item.name for item in items), used))
    least = sum(part.least_lines for part in packed)
    return Proposal(
        lines=tuple(lines),
        unplaced=tuple(sorted(unplaced, key=lambda one: one.name)),
        lower_bound=least,
        optimal=len(lines) == least,
        solver=solver,
        gap=len(lines) - least,
        room_splits=sum(part.splits[0] for part in packed),
        least_room_splits=sum(part.least_splits[0] for part in packed),
        floor_splits=sum(part.splits[1] for part in packed),
        least_floor_splits=sum(part.least_splits[1] for part in packed),
    )


def _method(solver: LoadedWhenNeeded) -> str:
    """How the answer was made, in words."""
    if not solver.asked:
        return METHOD
    if not solver.available():
        return f"{METHOD}; no solver, since the extra '{EXTRA}' is not installed"
    return f"{METHOD}, then {CpSat.name}"


def _of_no_kind(items: Sequence[PackItem], capacities: Sequence[LineCapacity]) -> list[Unplaced]:
    kinds = {capacity.kind for capacity in capacities}
    return [
        Unplaced(item.name, "no_such_line", None, f"what a line of kind {item.kind} holds is not given")
        for item in items
        if item.kind not in kinds
    ]


def _check(
    items: Sequence[PackItem], capacities: Sequence[LineCapacity], spare_share: float, seconds: float
) -> None:
    if not 0 <= spare_share < 1:
        raise ValueError(f"spare_share is {spare_share!r}; allowed is a number from 0 to below 1")
    if not 0 < seconds < math.inf:
        raise ValueError(f"seconds is {seconds!r}; allowed is a number above 0")
    for what, names in (
        ("circuits", [item.name for item in items]),
        ("kinds", [one.kind for one in capacities]),
    ):
        twice = (
            sorted({name for name in names if names.count(name) > 1}) if len(set(names)) < len(names) else []
        )
        if twice:
            raise ValueError(f"{what} given twice: {', '.join(twice)}; each has a name of its own")
    for capacity in capacities:
        if not capacity.limits and capacity.kind not in SINGLE_CIRCUIT_KINDS:
            raise ValueError(f"a line of kind {capacity.kind} has no limit; give at least one")
        for key, limit in capacity.limits.items():
            if not 0 < limit <= LARGEST_LIMIT:
                raise ValueError(f"{key} of {capacity.kind} is {limit!r}; allowed is above 0 up to 1e9")
