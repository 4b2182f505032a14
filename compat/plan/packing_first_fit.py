"""First fit decreasing by room: whole rooms first, then the circuits of rooms that do not fit whole.

Johnson's first fit decreasing (1973) with rooms as the things to be placed. Several orders are tried for
each number of lines from the proven least upward, and the best arrangement by ``Score`` is kept. The
answer depends on the numbers only; every tie is broken by the order of the circuits.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from compat.plan.packing_exchange import exchanged
from compat.plan.packing_problem import (
    NOWHERE,
    Arrangement,
    Problem,
    fits,
    fullness,
    grouped,
    score,
    total,
)

METHOD = "first fit decreasing by room"


@dataclass(slots=True)
class _Lines:
    """Lines being filled: their circuits, what they carry, and the rooms and floors on them."""

    problem: Problem
    items: Arrangement = field(default_factory=list)
    loads: list[tuple[int, ...]] = field(default_factory=list)
    rooms: list[set[int]] = field(default_factory=list)
    floors: list[set[int]] = field(default_factory=list)

    def open(self) -> int:
        self.items.append([])
        self.rooms.append(set())
        self.floors.append(set())
        self.loads.append((0,) * len(self.problem.limits))
        return len(self.items) - 1

    def put(self, line: int, items: Sequence[int]) -> None:
        self.items[line].extend(items)
        self.rooms[line].update(self.problem.rooms[item] for item in items)
        self.floors[line].update(self.problem.floors[item] for item in items)
        more = total(self.problem, items)
        self.loads[line] = tuple(held + added for held, added in zip(self.loads[line], more, strict=True))

    def with_room_for(self, size: Sequence[int]) -> list[int]:
        return [line for line, load in enumerate(self.loads) if fits(self.problem, load, size)]


def first_fit(problem: Problem, least: int) -> Arrangement:
    """The best arrangement found; ``least`` is a number of lines below which there is none."""
    largest_first = _decreasing(problem, range(len(problem.sizes)))
    plain = _circuits_only(problem, largest_first)
    found = [plain]
    count, step = max(least, 1), 1
    while len(found) == 1 and count <= len(plain):
        at_count = [_by_room(problem, largest_first, count, by_floor=by_floor) for by_floor in (True, False)]
        found += [lines for lines in at_count if lines is not None]
        count, step = count + step, 2 * step
    found = [exchanged(problem, lines) for lines in found]
    return min(found, key=lambda lines: score(problem, lines))


def _decreasing(problem: Problem, items: Sequence[int]) -> list[int]:
    return sorted(items, key=lambda item: (-fullness(problem, problem.sizes[item]), item))


def _circuits_only(problem: Problem, largest_first: Sequence[int]) -> Arrangement:
    lines = _Lines(problem)
    for item in largest_first:
        free = lines.with_room_for(problem.sizes[item])
        lines.put(free[0] if free else lines.open(), [item])
    return lines.items


def _by_room(
    problem: Problem, largest_first: Sequence[int], count: int, *, by_floor: bool
) -> Arrangement | None:
    """An arrangement on ``count`` lines, or None when this way finds none."""
    lines = _Lines(problem)
    for _ in range(count):
        lines.open()
    left: list[int] = []
    for room in _rooms_in_order(problem, largest_first, by_floor=by_floor):
        free = lines.with_room_for(total(problem, room))
        floor = problem.floors[room[0]]
        if free:
            lines.put(min(free, key=lambda line: _distance(lines, line, floor, by_floor)), room)
        else:
            left.extend(room)
    for item in _decreasing(problem, left):
        free = lines.with_room_for(problem.sizes[item])
        if not free:
            return None
        lines.put(min(free, key=lambda line: _strangeness(lines, line, item)), [item])
    return [line for line in lines.items if line]


def _rooms_in_order(problem: Problem, items: Sequence[int], *, by_floor: bool) -> list[list[int]]:
    rooms = list(grouped(problem.rooms, items).values())
    rooms += [[item] for item in items if problem.rooms[item] == NOWHERE]

    def order(room: list[int]) -> tuple[int, float, int]:
        floor = problem.floors[room[0]] if by_floor else 0
        return (floor, -fullness(problem, total(problem, room)), min(room))

    return sorted(rooms, key=order)


def _distance(lines: _Lines, line: int, floor: int, by_floor: bool) -> tuple[bool, float, int]:
    strange = by_floor and floor not in lines.floors[line]
    return (strange, -fullness(lines.problem, lines.loads[line]), line)


def _strangeness(lines: _Lines, line: int, item: int) -> tuple[bool, bool, float, int]:
    problem = lines.problem
    return (
        problem.rooms[item] not in lines.rooms[line],
        problem.floors[item] not in lines.floors[line],
        -fullness(problem, lines.loads[line]),
        line,
    )
