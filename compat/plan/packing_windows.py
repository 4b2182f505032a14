"""A few lines at a time rearranged by a solver, each window to its proven best."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from compat.plan.packing_bounds import least_lines
from compat.plan.packing_model import Answer, LinearModel, Packing, emptiest_first_model, fewest_splits_model
from compat.plan.packing_problem import NOWHERE, Arrangement, Problem, fullness, grouped, presences, total

Solve = Callable[[LinearModel], Answer]
GoesOn = Callable[[], bool]

TURNS = 4  # how often other partners are tried for each line
EMPTYING_WINDOWS = (2, 3, 4, 5)


@dataclass(frozen=True, slots=True)
class Parts:
    """What each room has on each line, taken as one thing."""

    items: list[list[int]]

    def problem(self, problem: Problem) -> Problem:
        """The same problem with the parts in place of the circuits."""
        return Problem(
            tuple(total(problem, part) for part in self.items),
            problem.limits,
            tuple(problem.rooms[part[0]] for part in self.items),
            tuple(problem.floors[part[0]] for part in self.items),
        )

    def circuits(self, lines: Arrangement) -> Arrangement:
        """Lines of parts as lines of circuits."""
        return [[item for part in line for item in self.items[part]] for line in lines]


def merged(problem: Problem, lines: Arrangement) -> tuple[Parts, Arrangement]:
    """The parts of an arrangement, and the arrangement in parts."""
    items: list[list[int]] = []
    part_lines: Arrangement = []
    for line in lines:
        here = list(grouped(problem.rooms, line).values())
        here += [[item] for item in line if problem.rooms[item] == NOWHERE]
        part_lines.append(list(range(len(items), len(items) + len(here))))
        items += here
    return Parts(items), part_lines


def emptied_line(problem: Problem, lines: Arrangement, solve: Solve, goes_on: GoesOn) -> Arrangement | None:
    """The circuits on one line less, or None. The emptiest line is drained into the others by windows."""

    def load(line: Sequence[int]) -> float:
        return sum(fullness(problem, problem.sizes[item]) for item in line)

    drained, *others = sorted(lines, key=load)
    for size in EMPTYING_WINDOWS:
        gained = True
        while gained:
            gained = False
            for start in range(0, len(others), size - 1):
                if not goes_on():
                    return None
                window = [drained, *others[start : start + size - 1]]
                better = _solved(emptiest_first_model(problem, window), solve)
                if better is not None:
                    gained = True
                    drained, others[start : start + size - 1] = better[0], better[1:]
                if not drained:
                    return others
    return None


def _solved(packing: Packing, solve: Solve) -> Arrangement | None:
    """The rearranged lines when they are better than the hint."""
    answer = solve(packing.model)
    if answer.values is None or packing.model.cost(answer.values) >= packing.model.cost(packing.model.hint):
        return None
    return packing.arrangement(answer.values)


def regrouped(problem: Problem, lines: Arrangement, size: int, solve: Solve, goes_on: GoesOn) -> Arrangement:
    """The lines after every window of ``size`` lines that brings rooms or floors together."""
    lines = [list(line) for line in lines]
    tried: set[tuple[tuple[int, ...], ...]] = set()
    for turn in range(TURNS):
        gained = False
        for window in _windows(problem, lines, size, turn):
            if not goes_on():
                return lines
            before = [lines[line] for line in window]
            key = tuple(tuple(sorted(line)) for line in before)
            if key in tried or not _can_gain(problem, before):
                continue
            tried.add(key)
            better = _solved(fewest_splits_model(problem, before), solve)
            if better is not None:
                gained = True
                for line, found in zip(window, better, strict=True):
                    lines[line] = found
        if not gained and turn:
            break
    return lines


def _windows(problem: Problem, lines: Arrangement, size: int, turn: int) -> Iterator[list[int]]:
    """For each line the ``size`` - 1 lines that share most rooms and floors with it; others at each turn."""
    for first in range(len(lines)):
        others = [line for line in range(len(lines)) if line != first]
        if len(others) < size - 1:
            return
        others.sort(
            key=lambda line: (_in_common(problem, lines[first], lines[line]), (line - first) % len(lines))
        )
        start = turn * (size - 1) % len(others)
        yield sorted({first, *(others + others)[start : start + size - 1]})


def _in_common(problem: Problem, first: Sequence[int], second: Sequence[int]) -> tuple[int, int]:
    """Rooms and floors on both lines, as negative numbers so that most sorts first."""
    rooms, floors = (
        len(({places[item] for item in first} & {places[item] for item in second}) - {NOWHERE})
        for places in (problem.rooms, problem.floors)
    )
    return -rooms, -floors


def _can_gain(problem: Problem, lines: Arrangement) -> bool:
    """Whether some room or floor is on more of these lines than it needs."""
    items = [item for line in lines for item in line]
    return any(
        presences(places, lines)
        > sum(least_lines(problem, members) for members in grouped(places, items).values())
        for places in (problem.rooms, problem.floors)
    )
