"""The packing as a linear model in whole numbers, in a form that any solver can be given."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Protocol

from compat.plan.packing_bounds import least_lines
from compat.plan.packing_problem import Arrangement, Problem, fullness, grouped

Terms = list[tuple[int, int]]  # variable, factor


@dataclass(slots=True)
class LinearModel:
    """Variables from 0 to an upper end, rows ``low <= sum of factor * variable <= high``, and a sum to
    make small; ``hint`` is a known solution."""

    upper: list[int] = field(default_factory=list)
    hint: list[int] = field(default_factory=list)
    rows: list[tuple[Terms, int | None, int | None]] = field(default_factory=list)
    goal: Terms = field(default_factory=list)

    def variable(self, upper: int, hint: int) -> int:
        """A new variable from 0 to ``upper``."""
        self.upper.append(upper)
        self.hint.append(hint)
        return len(self.upper) - 1

    def row(self, terms: Terms, low: int | None, high: int | None) -> None:
        """A new row; None for an end that is open."""
        self.rows.append((terms, low, high))

    def cost(self, values: Sequence[int]) -> int:
        """The sum that is made small, for these values."""
        return sum(factor * values[variable] for variable, factor in self.goal)


@dataclass(frozen=True, slots=True)
class Answer:
    """``values`` is None when nothing was found: with ``proven``, because there is nothing to find.

    ``bound``: no solution has a smaller sum. ``proven`` with values: they have the smallest.
    """

    values: list[int] | None
    bound: int
    proven: bool
    work: float


class Solver(Protocol):
    """A solver for ``LinearModel``. ``work`` limits the effort; ``hard`` asks for a wider search."""

    def solve(self, model: LinearModel, work: float, *, hard: bool) -> Answer: ...


@dataclass(slots=True)
class Packing:
    """A model of some circuits on some lines. ``counts[g][l]``: circuits of the group g on the line l."""

    model: LinearModel
    groups: list[list[int]]
    counts: list[list[int]]
    room_weight: int = 1

    def arrangement(self, values: Sequence[int]) -> Arrangement:
        """The lines of a solution; equal circuits go on in their order."""
        lines: Arrangement = [[] for _ in self.counts[0]]
        for group, row in zip(self.groups, self.counts, strict=True):
            rest = iter(group)
            for line, variable in zip(lines, row, strict=True):
                line.extend(next(rest) for _ in range(values[variable]))
        return lines


def _packing(problem: Problem, groups: list[list[int]], lines: Arrangement) -> Packing:
    """Circuits of equal size (and room) as groups, on the given lines, none over its limit."""
    model = LinearModel()
    on_line = [set(line) for line in lines]
    counts = [
        [model.variable(len(group), sum(item in line for item in group)) for line in on_line]
        for group in groups
    ]
    for group, row in zip(groups, counts, strict=True):
        model.row([(variable, 1) for variable in row], len(group), len(group))
    for line in range(len(lines)):
        for place, limit in enumerate(problem.limits):
            terms = [
                (row[line], problem.sizes[group[0]][place]) for group, row in zip(groups, counts, strict=True)
            ]
            terms = [(variable, factor) for variable, factor in terms if factor]
            if terms:
                model.row(terms, None, limit)
    return Packing(model, groups, counts)


def on_lines_model(problem: Problem, count: int) -> Packing:
    """All circuits on ``count`` lines, with nothing to make small and no hint."""
    return _packing(problem, _by_size(problem, range(len(problem.sizes))), [[] for _ in range(count)])


def emptiest_first_model(problem: Problem, lines: Arrangement) -> Packing:
    """Make what the first of these lines carries little, in thousandths of its tightest limit."""
    packing = _packing(problem, _by_size(problem, [item for line in lines for item in line]), lines)
    packing.model.goal = [
        (row[0], 1 + math.ceil(1000 * fullness(problem, problem.sizes[group[0]])))
        for group, row in zip(packing.groups, packing.counts, strict=True)
    ]
    return packing


def _by_size(problem: Problem, items: Sequence[int]) -> list[list[int]]:
    groups: dict[tuple[int, ...], list[int]] = {}
    for item in items:
        groups.setdefault(problem.sizes[item], []).append(item)
    return list(groups.values())


def fewest_splits_model(problem: Problem, lines: Arrangement) -> Packing:
    """Make the places of rooms on these lines few, then those of floors.

    The sum counts the lines that hold a room (or floor), for rooms and floors that can be split here. A room
    weighs more than all floors together can give, so the order of the two is kept.
    """
    items = sorted(item for line in lines for item in line)
    groups: dict[tuple[int, int, tuple[int, ...]], list[int]] = {}
    for item in items:
        groups.setdefault((problem.rooms[item], problem.floors[item], problem.sizes[item]), []).append(item)
    packing = _packing(problem, list(groups.values()), lines)
    floors = _places(packing, problem, problem.floors, lines)
    rooms = _places(packing, problem, problem.rooms, lines)
    weight = packing.room_weight = 1 + len(floors) * len(lines)
    packing.model.goal = [(flag, weight) for row in rooms.values() for flag in row]
    packing.model.goal += [(flag, 1) for row in floors.values() for flag in row]
    return packing


def _places(
    packing: Packing, problem: Problem, places: Sequence[int], lines: Arrangement
) -> dict[int, list[int]]:
    """For each room (or floor) of two circuits or more a flag for each line that is 1 when it is there."""
    model = packing.model
    items = [item for group in packing.groups for item in group]
    found = {}
    for place, members in grouped(places, items).items():
        if len(members) < 2:
            continue
        flags = [model.variable(1, int(any(places[item] == place for item in line))) for line in lines]
        model.row([(flag, 1) for flag in flags], least_lines(problem, members), None)
        for group, row in zip(packing.groups, packing.counts, strict=True):
            if places[group[0]] == place:
                for variable, flag in zip(row, flags, strict=True):
                    model.row([(variable, 1), (flag, -len(group))], None, 0)
        found[place] = flags
    return found
