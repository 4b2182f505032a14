"""Bin packing in whole numbers with several limits: a proven bound, best fit by groups, and exchanges.

The bound for one limit is "L2" of Martello and Toth (Knapsack Problems, 1990, section 8.3). Filling is best
fit decreasing (after Johnson, 1973) with whole groups as what is placed; a piece that fits nowhere gets its
place by moving another one or by exchanging two others.
What each part is worth stands in ``tests/bench/bench_packing.py``.
"""

from __future__ import annotations

from bisect import bisect_left, insort
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from operator import add, le, sub
from typing import TypeAlias

NO_GROUP = -1
# Exchanges looked at for one number of bins before no more are sought; a part to look at costs as several.
MOST_TRIES, COST_OF_A_PART = 1_000_000, 5

Size: TypeAlias = "tuple[int, ...]"
Piece: TypeAlias = "tuple[int, ...]"  # items that are placed and moved together
Exchange: TypeAlias = "tuple[int, Piece, int, Piece]"  # a bin, what leaves it, the other bin, what returns


@dataclass(frozen=True, slots=True)
class Problem:
    """Items 0 to n - 1, none larger than a bin: a size for each limit, and a group or ``NO_GROUP``."""

    sizes: Sequence[Size]
    limits: Size
    groups: Sequence[int]

    def total(self, piece: Piece) -> Size:
        """The size of a piece."""
        if len(piece) == 1:
            return self.sizes[piece[0]]
        return tuple(sum(self.sizes[item][place] for item in piece) for place in range(len(self.limits)))

    def fits(self, load: Size, size: Size) -> bool:
        """Whether ``size`` fits in a bin that carries ``load``."""
        return all(map(le, map(add, load, size), self.limits))

    def fullness(self, size: Size) -> float:
        """The greatest share of a limit; to sort by, never to decide a fit."""
        return max((part / limit for part, limit in zip(size, self.limits, strict=True) if part), default=0.0)

    def pieces(self, items: Iterable[int], whole: bool) -> list[Piece]:
        """Items one by one, or ``whole`` groups in parts that a bin holds; the largest first."""
        singles = self._decreasing((item,) for item in items)
        if not whole:
            return singles
        parts: dict[int, list[Piece]] = {}
        for piece in singles:
            group = self.groups[piece[0]]
            of_group = parts.setdefault(group, [])
            size = self.total(piece)
            free = (place for place, part in enumerate(of_group) if self.fits(self.total(part), size))
            place = None if group == NO_GROUP else next(free, None)
            if place is None:
                of_group.append(piece)
            else:
                of_group[place] += piece
        return self._decreasing(tuple(sorted(part)) for found in parts.values() for part in found)

    def _decreasing(self, pieces: Iterable[Piece]) -> list[Piece]:
        return sorted(pieces, key=lambda piece: (-self.fullness(self.total(piece)), piece))


def least_bins(problem: Problem, items: Sequence[int]) -> int:
    """No arrangement puts ``items`` in fewer bins: the greatest bound of all limits."""
    columns = ([problem.sizes[item][place] for item in items] for place in range(len(problem.limits)))
    bounds = [_least(sizes, limit) for sizes, limit in zip(columns, problem.limits, strict=True)]
    return max([1 if items else 0, *bounds])


def _least(sizes: Sequence[int], limit: int) -> int:
    """L2: items above the limit less a threshold need a bin each, of those above half no two share one, and
    what the rest exceeds the room beside these by needs further bins.
    """
    found = 0
    for threshold in {0, *(size for size in sizes if 2 * size <= limit)}:
        alone = sum(1 for size in sizes if size > limit - threshold)
        large = [size for size in sizes if limit - threshold >= size and 2 * size > limit]
        rest = sum(size for size in sizes if size >= threshold and 2 * size <= limit)
        beside = len(large) * limit - sum(large)
        further = -((beside - rest) // limit) if rest > beside else 0
        found = max(found, alone + len(large) + further)
    return found


def arranged(problem: Problem, least: int) -> list[list[int]]:
    """The items of each bin, none over its limits; ``least`` is a number of bins that cannot be bettered."""
    best = _best_fit(problem)
    for count in range(len(best), max(least, 1) - 1, -1):
        found = _filled(problem, count, True) or _filled(problem, count, False)
        if found is None and count < len(best):
            break
        best = found or best
    return best


def _best_fit(problem: Problem) -> list[list[int]]:
    """Items one by one, the largest first; a new bin where none has room left."""
    bins = _Bins(problem, 0)
    for piece in problem.pieces(range(len(problem.sizes)), False):
        if not bins.placed(piece):
            bins.open()
            bins.put(len(bins.items) - 1, piece)
    return bins.items


def _filled(problem: Problem, count: int, whole: bool) -> list[list[int]] | None:
    """An arrangement in ``count`` bins, or None: ``whole`` groups where they fit, the others item by item."""
    bins = _Bins(problem, count)
    left: list[int] = list(range(len(problem.sizes)))
    if whole:
        groups = problem.pieces(left, True)
        left = [item for piece in groups if not bins.has_place(piece, True) for item in piece]
    if all(bins.has_place(piece, False) for piece in problem.pieces(left, False)):
        return [items for items in bins.items if items]
    return None


class _Bins:
    """Bins being filled: their items and what they carry; found by that and by the groups in them."""

    def __init__(self, problem: Problem, count: int) -> None:
        self.problem = problem
        self.items: list[list[int]] = []
        self.loads: list[Size] = []
        self.tries = 0
        # The places of the bins that carry as much, in order, and those that hold something of a group.
        self._carrying: dict[Size, list[int]] = {}
        self._of_group: dict[int, set[int]] = {}
        for _ in range(count):
            self.open()

    def open(self) -> None:
        self.items.append([])
        self.loads.append((0,) * len(self.problem.limits))
        insort(self._carrying.setdefault(self.loads[-1], []), len(self.items) - 1)

    def put(self, place: int, piece: Piece) -> None:
        self._hold(place, [*self.items[place], *piece], tuple(map(add, self.loads[place], self._size(piece))))

    def take(self, place: int, piece: Piece) -> None:
        left = [item for item in self.items[place] if item not in piece]
        self._hold(place, left, tuple(map(sub, self.loads[place], self._size(piece))))

    def _size(self, piece: Piece) -> Size:
        return self.problem.total(piece) if piece else (0,) * len(self.problem.limits)

    def _hold(self, place: int, items: list[int], load: Size) -> None:
        """Set what a bin holds and carries."""
        alike, groups = self._carrying[self.loads[place]], self.problem.groups
        del alike[bisect_left(alike, place)]
        if not alike:
            del self._carrying[self.loads[place]]
        insort(self._carrying.setdefault(load, []), place)
        for item in self.items[place]:
            self._of_group[groups[item]].discard(place)
        for item in items:
            self._of_group.setdefault(groups[item], set()).add(place)
        self.items[place], self.loads[place] = items, load

    def has_place(self, piece: Piece, whole: bool) -> bool:
        """Put a piece in a bin where it fits, or where others of its sort (``whole``) make room for it."""
        return self.placed(piece) or (self.tries < MOST_TRIES and self._made_room(piece, whole))

    def placed(self, piece: Piece) -> bool:
        """Put a piece in a bin of its group, else in the fullest that holds it; False when none does."""
        problem, group = self.problem, self.problem.groups[piece[0]]
        size = problem.total(piece)
        beside = self._of_group.get(group, ()) if group != NO_GROUP else ()
        free = [place for place in beside if problem.fits(self.loads[place], size)]
        if not free:
            # Of bins that carry as much the first is taken.
            free = [alike[0] for load, alike in self._carrying.items() if problem.fits(load, size)]
        if free:
            self.put(max(free, key=lambda place: (problem.fullness(self.loads[place]), -place)), piece)
        return bool(free)

    def _made_room(self, piece: Piece, whole: bool) -> bool:
        """Put a piece that fits nowhere: another one goes elsewhere, against one from there if need be."""
        for exchange in (False, True):
            for here, out, there, back in self._exchanges(piece, whole, exchange):
                self.take(here, out)
                self.take(there, back)
                self.put(here, (*back, *piece))
                self.put(there, out)
                return True
        return False

    def _exchanges(self, piece: Piece, whole: bool, exchange: bool) -> Iterator[Exchange]:
        """What may leave a bin for another so that ``piece`` fits in the first."""
        problem = self.problem
        size = problem.total(piece)
        slacks = [tuple(map(sub, problem.limits, load)) for load in self.loads]
        parts = [
            [(part, problem.total(part)) for part in problem.pieces(items, whole)] for items in self.items
        ]
        self.tries += COST_OF_A_PART * sum(map(len, parts))
        nothing: list[tuple[Piece, Size]] = [((), (0,) * len(size))]
        for here, members in enumerate(parts):
            needed = tuple(map(sub, size, slacks[here]))
            for out, out_size in members:
                if self.tries >= MOST_TRIES or not all(map(le, needed, out_size)):
                    continue
                for there, slack in enumerate(slacks):
                    for back, back_size in parts[there] if exchange else nothing:
                        self.tries += 1
                        more = tuple(map(sub, out_size, back_size))
                        if there != here and all(map(le, needed, more)) and all(map(le, more, slack)):
                            yield here, out, there, back
