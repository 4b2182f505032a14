"""OR-Tools CP-SAT against HiGHS on the packing of circuits on lines, with the same models.

Run by hand, with both installed: ``python -m tests.bench.bench_packing [SECONDS] [SIZES]``. Circuits are made
up from a seed. Two uses are measured: ``whole``, one model of all circuits on all lines, and ``windows``,
the search that the program runs, a few lines at a time. Both solvers begin from the same lines, run on one
thread and have the same limit. Each runs twice: ``same`` says whether both runs gave the same lines.
Seconds are of the processor, then of the clock, for the first run.
"""

from __future__ import annotations

import math
import random
import sys
import time
from collections.abc import Callable, Iterable
from typing import Any

import highspy
import numpy as np

from compat.plan.packing_bounds import least_lines, least_splits
from compat.plan.packing_cpsat import CpSat, LoadedWhenNeeded
from compat.plan.packing_first_fit import METHOD, first_fit
from compat.plan.packing_model import Answer, LinearModel, fewest_splits_model
from compat.plan.packing_places import checked, in_order, problem_of
from compat.plan.packing_problem import Arrangement, Problem, score
from compat.plan.packing_search import Budget, Search
from compat.plan.packing_types import LineCapacity, PackItem
from compat.plan.propose_lines import SPARE_SHARE, usual_capacities

SEED = 20261125
CIRCUITS_IN_A_ROOM = (1, 2, 2, 3, 3, 4, 5, 6)
GEAR_IN_A_CIRCUIT = (1, 1, 2, 2, 3, 4, 4, 5, 6, 6, 8, 8, 10, 12, 16)
GEAR_CURRENT_MA = (2.0, 2.0, 2.0, 1.5, 1.8)
SLOTS_OF_A_LUMINAIRE = (1, 2, 3, 4, 4, 5, 6, 8, 10, 14, 20, 24)


def circuits(count: int, kind: str, seed: int = SEED) -> list[PackItem]:
    """Made-up circuits of one kind of line in rooms of a building of 4 floors (6 above 300 circuits)."""
    rng = random.Random(f"{seed} {kind} {count}")
    found: list[PackItem] = []
    room = 0
    while len(found) < count:
        room += 1
        floor = f"Floor {rng.randrange(4 if count <= 300 else 6)}"
        for _ in range(min(rng.choice(CIRCUITS_IN_A_ROOM), count - len(found))):
            found.append(PackItem(f"C{len(found) + 1}", f"Room {room}", floor, kind, _demands(rng, kind)))
    return found


def _demands(rng: random.Random, kind: str) -> dict[str, float]:
    if kind == "dali_line":
        gear = rng.choice(GEAR_IN_A_CIRCUIT)
        return {"dali_addresses": float(gear), "dali_current_ma": gear * rng.choice(GEAR_CURRENT_MA)}
    luminaires = rng.choice((1, 1, 1, 2, 2, 3, 4))
    unit_loads = luminaires * rng.choice((0.25, 0.5, 1.0))
    return {"dmx_slots": float(luminaires * rng.choice(SLOTS_OF_A_LUMINAIRE)), "dmx_unit_loads": unit_loads}


class Highs:
    """HiGHS on one thread with a fixed seed; its time limit is of the clock, it has no other."""

    name = "HiGHS"

    def solve(self, model: LinearModel, work: float, *, hard: bool = False) -> Answer:
        make: Any = highspy.Highs
        highs = make()
        options = {"output_flag": False, "threads": 1, "random_seed": 1, "time_limit": work}
        for option, value in (options | {"mip_rel_gap": 0.0, "mip_abs_gap": 0.999}).items():
            highs.setOptionValue(option, value)
        highs.passModel(_as_highs(model))
        if model.goal:
            known = highspy.HighsSolution()
            known.col_value = [float(value) for value in model.hint]
            highs.setSolution(known)
        begun = time.process_time()
        highs.run()
        spent = time.process_time() - begun
        info = highs.getInfo()
        found = info.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible
        status = highs.getModelStatus()
        proven = status in (highspy.HighsModelStatus.kOptimal, highspy.HighsModelStatus.kInfeasible)
        bound = math.ceil(info.mip_dual_bound - 1e-6) if math.isfinite(info.mip_dual_bound) else 0
        values = [round(value) for value in highs.getSolution().col_value] if found else None
        return Answer(values, bound, proven, spent)


def _as_highs(model: LinearModel) -> highspy.HighsLp:
    lp = highspy.HighsLp()
    count = len(model.upper)
    lp.num_col_, lp.num_row_ = count, len(model.rows)
    cost = np.zeros(count)
    for variable, factor in model.goal:
        cost[variable] = factor
    lp.col_cost_, lp.col_lower_, lp.col_upper_ = cost, np.zeros(count), np.array(model.upper, dtype=float)
    endless = highspy.kHighsInf
    lp.row_lower_ = np.array([-endless if low is None else low for _, low, _ in model.rows], dtype=float)
    lp.row_upper_ = np.array([endless if high is None else high for _, _, high in model.rows], dtype=float)
    lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    lp.a_matrix_.start_ = np.cumsum([0, *(len(terms) for terms, _, _ in model.rows)])
    lp.a_matrix_.index_ = np.array([variable for terms, _, _ in model.rows for variable, _ in terms])
    lp.a_matrix_.value_ = np.array([factor for terms, _, _ in model.rows for _, factor in terms], dtype=float)
    lp.integrality_ = [highspy.HighsVarType.kInteger] * count
    return lp


class HighsInstead(LoadedWhenNeeded):
    """HiGHS in the place of the program's solver."""

    def available(self) -> bool:
        return True

    def solve(self, model: LinearModel, work: float, *, hard: bool = False) -> Answer:
        return Highs().solve(model, work, hard=hard)


Run = tuple[Arrangement, str]


def _windows(problem: Problem, solver: LoadedWhenNeeded, seconds: float) -> Run:
    solver.available()
    least = least_lines(problem, range(len(problem.sizes)))
    search = Search(problem, first_fit(problem, least), least, Budget(solver, seconds, lambda _: None))
    if search.score != search.least:
        search.run()
    return search.lines, _figures(search.least)


def _whole(problem: Problem, solver: CpSat | Highs, seconds: float) -> Run:
    least = least_lines(problem, range(len(problem.sizes)))
    packing = fewest_splits_model(problem, first_fit(problem, least))
    answer = solver.solve(packing.model, seconds, hard=True)
    lines = packing.arrangement(answer.values or packing.model.hint)
    return lines, "best" if answer.proven else "-"


def _figures(figures: Iterable[int]) -> str:
    return ", ".join(str(figure) for figure in figures)


def _write(text: str) -> None:
    sys.stdout.write(text + "\n")
    sys.stdout.flush()


def _row(problem: Problem, name: str, run: Callable[[], Run]) -> None:
    clock, processor = time.perf_counter(), time.process_time()
    lines, proven = run()
    clock, processor = time.perf_counter() - clock, time.process_time() - processor
    again, _ = run()
    same = "same" if again == lines else "differs"
    found = _figures(score(problem, lines))
    _write(f"    {name:<28} {found:<14} {proven:<14} {processor:7.2f} s {clock:7.2f} s  {same}")


def _one(count: int, capacity: LineCapacity, seconds: float) -> None:
    items, unplaced = checked(in_order(circuits(count, capacity.kind)), capacity, SPARE_SHARE)
    problem = problem_of(items, capacity, SPARE_SHARE)
    least = least_lines(problem, range(len(items)))
    _write(f"{capacity.kind}, {count} circuits, {len(unplaced)} of them larger than a line")
    _write("    lines, room splits, floor splits; proven least; processor, clock; second run")
    _row(problem, METHOD, lambda: (first_fit(problem, least), _figures(_simple(problem, least))))
    _row(problem, "CP-SAT, windows", lambda: _windows(problem, LoadedWhenNeeded(), seconds))
    _row(problem, "HiGHS, windows", lambda: _windows(problem, HighsInstead(), seconds))
    _row(problem, "CP-SAT, whole", lambda: _whole(problem, CpSat(), seconds))
    _row(problem, "HiGHS, whole", lambda: _whole(problem, Highs(), seconds))


def _simple(problem: Problem, least: int) -> tuple[int, int, int]:
    return least, least_splits(problem, problem.rooms), least_splits(problem, problem.floors)


def main() -> None:
    seconds = float(sys.argv[1]) if len(sys.argv) > 1 else 10.0
    sizes = [int(size) for size in sys.argv[2].split(",")] if len(sys.argv) > 2 else [60, 300, 1000]
    for capacity in usual_capacities()[:2]:
        for count in sizes:
            _one(count, capacity, seconds)


if __name__ == "__main__":
    main()
