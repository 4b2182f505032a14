"""The packing of one kind of line in whole numbers: sizes, limits, rooms, floors and what is counted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from operator import add, le
from typing import NamedTuple

NOWHERE = -1
Arrangement = list[list[int]]  # for each line the circuits on it


@dataclass(frozen=True, slots=True)
class Problem:
    """Circuits 0 to n - 1 with one size for each limit; room and floor are numbers, or ``NOWHERE``."""

    sizes: tuple[tuple[int, ...], ...]
    limits: tuple[int, ...]
    rooms: tuple[int, ...]
    floors: tuple[int, ...]


class Score(NamedTuple):
    """What is made small, in this order. A smaller tuple is a better arrangement."""

    lines: int
    room_splits: int
    floor_splits: int


def total(problem: Problem, items: Sequence[int]) -> tuple[int, ...]:
    """The sum of the sizes of ``items`` for each limit."""
    return tuple(sum(problem.sizes[item][place] for item in items) for place in range(len(problem.limits)))


def fits(problem: Problem, load: Sequence[int], size: Sequence[int]) -> bool:
    """Whether ``size`` still fits on a line that carries ``load``."""
    return all(map(le, map(add, load, size), problem.limits))


def fullness(problem: Problem, size: Sequence[int]) -> float:
    """The greatest share of a limit that ``size`` takes; only to sort by, never to decide a fit."""
    return max((part / limit for part, limit in zip(size, problem.limits, strict=True) if part), default=0.0)


def grouped(places: Sequence[int], items: Sequence[int]) -> dict[int, list[int]]:
    """The items of each room (or floor), those that are nowhere left out."""
    found: dict[int, list[int]] = {}
    for item in items:
        if places[item] != NOWHERE:
            found.setdefault(places[item], []).append(item)
    return found


def presences(places: Sequence[int], lines: Arrangement) -> int:
    """How many pairs of a line and a room (or floor) on it there are."""
    return sum(len({places[item] for item in line} - {NOWHERE}) for line in lines)


def score(problem: Problem, lines: Arrangement) -> Score:
    """Lines used, and the splits of rooms and of floors."""
    rooms = len(set(problem.rooms) - {NOWHERE})
    floors = len(set(problem.floors) - {NOWHERE})
    return Score(
        sum(1 for line in lines if line),
        presences(problem.rooms, lines) - rooms,
        presences(problem.floors, lines) - floors,
    )
