"""Better arrangements by a solver: fewest lines, then fewest splits of rooms, then of floors.

A model of all circuits on all lines is too large for more than about a hundred circuits, so a few lines at a
time (a window) are given to the solver: first to empty a line, then to bring rooms and floors together, with
what a room has on a line kept together at first (few parts, so larger windows), circuit by circuit after.
A small problem is also given as a whole, which proves how good the answer is. The work is counted by the
solver, not timed, so that the answer does not depend on how fast the machine is.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from compat.plan.packing_bounds import least_splits
from compat.plan.packing_cpsat import LoadedWhenNeeded
from compat.plan.packing_model import Answer, LinearModel, fewest_splits_model, on_lines_model
from compat.plan.packing_problem import Arrangement, Problem, Score, grouped, score
from compat.plan.packing_windows import emptied_line, merged, regrouped

WINDOW_WORK = 1.0  # one window is left when it is not solved by then
WORK_OF_A_TERM = 3e-5  # building and reading a model, in seconds, beside the work of the solver
SHARE_FOR_LINES = 0.5
PARTS_WINDOWS = (2, 3, 4, 5, 6)
CIRCUIT_WINDOWS = (2, 3, 4)
LARGEST_WHOLE = 1500  # variables; larger models gained nothing within a minute


@dataclass(slots=True)
class Budget:
    """Work allowed and spent, in seconds of a common machine; ``tell`` hears the share that is spent."""

    solver: LoadedWhenNeeded
    allowed: float
    tell: Callable[[float], None]
    spent: float = 0.0

    @property
    def left(self) -> float:
        return max(0.0, self.allowed - self.spent)

    def solve(self, model: LinearModel, work: float = WINDOW_WORK, *, hard: bool = False) -> Answer:
        """The solver's answer within ``work`` and what is left."""
        answer = self.solver.solve(model, min(work, self.left), hard=hard)
        self.spent += answer.work + WORK_OF_A_TERM * sum(len(terms) for terms, _, _ in model.rows)
        self.tell(min(1.0, self.spent / self.allowed))
        return answer


@dataclass(slots=True)
class Search:
    """One kind of line: the best lines so far, and the least figures proven."""

    problem: Problem
    lines: Arrangement
    least_lines: int
    budget: Budget
    least_room_splits: int = field(init=False)
    least_floor_splits: int = field(init=False)

    def __post_init__(self) -> None:
        self.least_room_splits = least_splits(self.problem, self.problem.rooms)
        self.least_floor_splits = least_splits(self.problem, self.problem.floors)

    @property
    def score(self) -> Score:
        return score(self.problem, self.lines)

    @property
    def least(self) -> Score:
        """No arrangement has a smaller figure; each is for the earlier ones reached."""
        return Score(self.least_lines, self.least_room_splits, self.least_floor_splits)

    def run(self) -> None:
        """Improve ``lines`` until they are proven best or the work is spent."""
        self._save_lines()
        before = None
        while before != self.score and self._goes_on():
            before = self.score
            self._regroup()
        if self._goes_on():
            self._whole()
        self.lines = [line for line in self.lines if line]

    def _regroup(self) -> None:
        for size in PARTS_WINDOWS:
            if self._goes_on():
                parts, part_lines = merged(self.problem, self.lines)
                problem = parts.problem(self.problem)
                found = regrouped(problem, part_lines, size, self.budget.solve, self._goes_on)
                self.lines = parts.circuits(found)
        for size in CIRCUIT_WINDOWS:
            if self._goes_on():
                self.lines = regrouped(self.problem, self.lines, size, self.budget.solve, self._goes_on)

    def _goes_on(self) -> bool:
        return self.budget.left > 0 and self.score[1:] != self.least[1:]

    def _save_lines(self) -> None:
        def goes_on() -> bool:
            return self.budget.spent < SHARE_FOR_LINES * self.budget.allowed

        while len(self.lines) > self.least_lines:
            fewer = emptied_line(self.problem, self.lines, self.budget.solve, goes_on)
            fewer = fewer or self._on_one_line_less(goes_on)
            if fewer is None:
                return
            self.lines = fewer

    def _on_one_line_less(self, goes_on: Callable[[], bool]) -> Arrangement | None:
        """The whole problem on one line less; when the solver shows there is no way, the bound is raised."""
        packing = on_lines_model(self.problem, len(self.lines) - 1)
        if len(packing.model.upper) > LARGEST_WHOLE or not goes_on():
            return None
        work = SHARE_FOR_LINES * self.budget.allowed - self.budget.spent
        answer = self.budget.solve(packing.model, work, hard=True)
        if answer.values is not None:
            return [line for line in packing.arrangement(answer.values) if line]
        if answer.proven:
            self.least_lines = len(self.lines)
        return None

    def _whole(self) -> None:
        packing = fewest_splits_model(self.problem, self.lines)
        model = packing.model
        if len(model.upper) > LARGEST_WHOLE:
            return
        answer = self.budget.solve(model, self.budget.left, hard=True)
        if answer.values is not None:
            self.lines = min(
                self.lines, packing.arrangement(answer.values), key=lambda lines: score(self.problem, lines)
            )
        found = self.score
        if answer.proven:
            self.least_room_splits, self.least_floor_splits = found.room_splits, found.floor_splits
            return
        rooms, floors = (_of_two_or_more(places) for places in (self.problem.rooms, self.problem.floors))
        self.least_room_splits = max(self.least_room_splits, answer.bound // packing.room_weight - rooms)
        if self.least_room_splits == found.room_splits:
            rest = answer.bound - packing.room_weight * (rooms + found.room_splits) - floors
            self.least_floor_splits = max(self.least_floor_splits, rest)


def _of_two_or_more(places: tuple[int, ...]) -> int:
    return sum(1 for items in grouped(places, range(len(places))).values() if len(items) > 1)
