"""Things with several weights in bins with several capacities: circuits on lines, luminaires in universes.

First the fewest bins that are found, then few groups (rooms) split between bins. What an item takes and what
a bin holds is data of the caller. The answer does not depend on the order of the items.
"""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from compat.planning.bin_packing import NO_GROUP, Problem, arranged, least_bins

PARTS_OF_A_UNIT = 1_000_000
LARGEST = 1e9
_SAME = 1e-12  # a sum of decimal figures is off by less; a real digit is above it


@dataclass(frozen=True, slots=True)
class Capacity:
    """What a bin holds at most, from 0 to 1e9, and the share of it (0 to below 1) to be left free."""

    most: float
    spare_share: float = 0.0


Kinds = Mapping[str, Mapping[str, Capacity]]  # by kind of bin, then by what is counted


@dataclass(frozen=True, slots=True)
class Item:
    """One thing, placed whole in a bin of its ``kind``. Names are unique.

    ``weights`` have the names of the capacities; one that is left out, negative or not finite is not known.
    ``group``: kept together where that costs no bin. Items that cannot share a bin are of two kinds, or each
    take the whole of one capacity.
    """

    name: str
    kind: str
    weights: Mapping[str, float]
    group: str = ""


@dataclass(frozen=True, slots=True)
class Excess:
    """An item that a bin does not hold, or not with the spare, by this capacity.

    ``capacity`` is None when no bin is of its kind, ``weight`` when it is not known.
    """

    name: str
    capacity: str | None = None
    weight: float | None = None
    limit: Capacity | None = None


@dataclass(frozen=True, slots=True)
class Packing:
    """Bins (kind and names), by kind in the order given; ``left_out`` are in none.

    ``without_spare`` fit only without the spare share, each in a bin of its own. No packing of the placed
    items that keeps the spare for all others has fewer bins than ``lower_bound``. Weights are taken up to
    the next millionth of their unit, and the bound is for these.
    """

    bins: tuple[tuple[str, tuple[str, ...]], ...]
    left_out: tuple[Excess, ...]
    without_spare: tuple[Excess, ...]
    lower_bound: int


def pack(items: Iterable[Item], kinds: Kinds) -> Packing:
    """Each item in one bin of its kind, no bin beyond the usable part of any capacity.

    Raises ValueError for two items of one name, a kind without capacity, and figures out of range.
    """
    ordered = sorted(items, key=lambda item: (_natural(item.group), _natural(item.name), item.name))
    _check(ordered, kinds)
    rank = {item.name: place for place, item in enumerate(ordered)}
    left_out = [Excess(item.name) for item in ordered if item.kind not in kinds]
    without_spare: list[Excess] = []
    bins: list[tuple[str, tuple[str, ...]]] = []
    lower_bound = 0
    for kind, capacities in kinds.items():
        excess = {item.name: _excess(item, capacities) for item in ordered if item.kind == kind}
        left_out += [found for found, placed in excess.values() if found and not placed]
        alone = [found for found, placed in excess.values() if found and placed]
        without_spare += alone
        fitting = [item for item in ordered if item.kind == kind and not excess[item.name][0]]
        problem = _problem(fitting, capacities)
        least = least_bins(problem, range(len(fitting)))
        lower_bound += least + len(alone)
        found = [tuple(fitting[n].name for n in sorted(places)) for places in arranged(problem, least)]
        found += [(entry.name,) for entry in alone]
        bins += [(kind, names) for names in sorted(found, key=lambda names: rank[names[0]])]
    return Packing(tuple(bins), tuple(left_out), tuple(without_spare), lower_bound)


def _natural(text: str) -> tuple[tuple[int, int, str], ...]:
    """To sort by: without regard to case and spacing, numbers in a text by their value."""
    parts = re.findall(r"[0-9]+|[^0-9]+", folded(text))
    digits = [part.lstrip("0") if part[0] in "0123456789" else None for part in parts]
    return tuple(
        (1, 0, part) if number is None else (0, len(number), number)
        for part, number in zip(parts, digits, strict=True)
    )


def folded(text: str) -> str:
    """A name to compare by: without regard to case and spacing."""
    return " ".join(text.split()).casefold()


def _excess(item: Item, capacities: Mapping[str, Capacity]) -> tuple[Excess | None, bool]:
    """The capacity that a bin most lacks for the item, and whether the bin holds it without the spare."""
    worst: tuple[float, Excess | None] = (0.0, None)
    held = True
    for name, limit in capacities.items():
        weight = item.weights.get(name, math.nan)
        if not 0 <= weight < math.inf:
            return Excess(item.name, name, None, limit), False
        held = held and _up(weight) <= _down(limit.most)
        share = weight / limit.most if limit.most else math.inf
        if _up(weight) > _usable(limit) and share > worst[0]:
            worst = share, Excess(item.name, name, weight, limit)
    return worst[1], held


def _parts(value: float) -> float:
    parts = value * PARTS_OF_A_UNIT
    near = round(parts)
    return near if math.isclose(parts, near, rel_tol=_SAME) else parts


def _up(weight: float) -> int:
    return math.ceil(_parts(weight))


def _down(limit: float) -> int:
    return math.floor(_parts(limit))


def _usable(limit: Capacity) -> int:
    return _down(limit.most * (1.0 - limit.spare_share))


def _problem(items: Sequence[Item], capacities: Mapping[str, Capacity]) -> Problem:
    """In whole numbers. Each limit is divided by the greatest common divisor of the weights on it: 51.2
    addresses for whole addresses are 51.
    """
    columns: list[list[int]] = []
    limits: list[int] = []
    for name, limit in capacities.items():
        parts = [_up(item.weights[name]) for item in items]
        divisor = math.gcd(*parts) or 1
        columns.append([part // divisor for part in parts])
        limits.append(_usable(limit) // divisor)
    rooms = [folded(item.group) for item in items]
    numbers = {room: number for number, room in enumerate(dict.fromkeys(rooms))}
    groups = [numbers[room] if room else NO_GROUP for room in rooms]
    return Problem(list(zip(*columns, strict=True)), tuple(limits), groups)


def _check(items: Sequence[Item], kinds: Kinds) -> None:
    twice = [name for name, count in Counter(item.name for item in items).items() if count > 1]
    if twice:
        raise ValueError(f"given twice: {', '.join(twice)}; each item has a name of its own")
    for kind, capacities in kinds.items():
        if not capacities:
            raise ValueError(f"{kind} has no capacity; give at least one")
        for name, limit in capacities.items():
            if not (0 <= limit.most <= LARGEST and 0 <= limit.spare_share < 1):
                what = f"{name} of {kind} is {limit.most!r} with {limit.spare_share!r} spare"
                raise ValueError(f"{what}; allowed is 0 to 1e9, and a spare share from 0 to below 1")
