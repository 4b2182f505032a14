"""Fewer split rooms by moving a circuit to another line of its room, or exchanging it for one there."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from compat.plan.packing_problem import NOWHERE, Arrangement, Problem, fits, grouped, total

PASSES = 20

Gain = tuple[int, int]  # change of the places of rooms, then of floors; less than (0, 0) is better


@dataclass(slots=True)
class _State:
    """Lines, what they carry, and how many circuits of each room and floor are on each."""

    problem: Problem
    lines: Arrangement
    loads: list[tuple[int, ...]]
    rooms: list[Counter[int]]
    floors: list[Counter[int]]
    line_of: dict[int, int]
    in_room: dict[int, list[int]]

    def take(self, item: int) -> int:
        line = self.line_of.pop(item)
        self.lines[line].remove(item)
        self._count(line, item, -1)
        return line

    def put(self, item: int, line: int) -> None:
        self.line_of[item] = line
        self.lines[line].append(item)
        self._count(line, item, 1)

    def _count(self, line: int, item: int, sign: int) -> None:
        size = self.problem.sizes[item]
        self.loads[line] = tuple(
            held + sign * part for held, part in zip(self.loads[line], size, strict=True)
        )
        self.rooms[line][self.problem.rooms[item]] += sign
        self.floors[line][self.problem.floors[item]] += sign


def exchanged(problem: Problem, lines: Arrangement) -> Arrangement:
    """The lines after every move and exchange that makes the splits fewer, none over its limit."""
    state = _State(
        problem,
        [list(line) for line in lines],
        [total(problem, line) for line in lines],
        [Counter(problem.rooms[item] for item in line) for line in lines],
        [Counter(problem.floors[item] for item in line) for line in lines],
        {item: number for number, line in enumerate(lines) for item in line},
        grouped(problem.rooms, range(len(problem.sizes))),
    )
    for _ in range(PASSES):
        if sum(_improved(state, item) for item in range(len(problem.sizes))) == 0:
            break
    return [line for line in state.lines if line]


def _improved(state: _State, item: int) -> bool:
    """Whether ``item`` was moved to, or exchanged into, another line of its room with a gain."""
    room = state.problem.rooms[item]
    if room == NOWHERE:
        return False
    here = state.line_of[item]
    for there in sorted({state.line_of[other] for other in state.in_room[room]} - {here}):
        for other in _partners(state, item, there):
            if _gain(state, item, other, there) < (0, 0):
                state.take(item)
                if other is not None:
                    state.take(other)
                    state.put(other, here)
                state.put(item, there)
                return True
    return False


def _partners(state: _State, item: int, there: int) -> Iterator[int | None]:
    """None when ``item`` fits on the line as it is, and the circuits it can change places with."""
    problem = state.problem
    size = problem.sizes[item]
    if fits(problem, state.loads[there], size):
        yield None
    left_here = _less(state.loads[state.line_of[item]], size)
    for other in sorted(state.lines[there]):
        exchange = problem.sizes[other]
        if fits(problem, _less(state.loads[there], exchange), size) and fits(problem, left_here, exchange):
            yield other


def _less(load: Sequence[int], size: Sequence[int]) -> tuple[int, ...]:
    return tuple(held - part for held, part in zip(load, size, strict=True))


def _gain(state: _State, item: int, other: int | None, there: int) -> Gain:
    here = state.line_of[item]
    changes = []
    for places, counts in ((state.problem.rooms, state.rooms), (state.problem.floors, state.floors)):
        own = places[item]
        moved: list[tuple[int, int, int]] = [(here, own, -1), (there, own, 1)]
        if other is not None:
            moved += [(there, places[other], -1), (here, places[other], 1)]
        after = Counter[tuple[int, int]]()
        for line, place, sign in moved:
            after[line, place] += sign
        change = 0
        for (line, place), difference in after.items():
            if place != NOWHERE:
                held = counts[line][place]
                change += (held + difference > 0) - (held > 0)
        changes.append(change)
    return changes[0], changes[1]
