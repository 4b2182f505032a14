"""How many DMX universes some luminaires need when none is split between two."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence

from compat.model.values import Interval
from compat.physics.ranges import Range, check_all

UNIVERSE_SLOTS = 512
RANGES = {"slot_count": Range(0.0, 512.0), "driver_count": Range(1.0, 1e9)}


def universes_between(footprints: Sequence[tuple[Interval, int]]) -> Interval:
    """Least and most universes of 512 slots that luminaires need when none is split between two.

    ``footprints`` are (slots of one, how many); slots 0 to 512, part slots count whole. Both ends
    agree when all footprints are alike: 150 of 4 slots need 2. The least holds for every packing: by
    the sum, and by how many of at least a size fit together. The most holds for any filling that
    opens a universe only when a luminaire fits in none, and, for exact footprints, for a universe of
    its own for each. Wider footprints never give a narrower answer. Raises ValueError. Source: derived.
    """
    for slots, count in footprints:
        RANGES["slot_count"].check_interval("slot_count", slots)
        check_all(RANGES, driver_count=count)
    lows = _sizes((slots.low, count) for slots, count in footprints)
    highs = _sizes((slots.high, count) for slots, count in footprints)
    if not highs:
        return Interval(0.0, 0.0)
    most = _most(highs)
    if lows == highs:
        most = min(most, sum(_of_one_size(size, count) for size, count in highs.items()))
    return Interval(float(_least(lows)), float(most))


def _sizes(footprints: Iterable[tuple[float, int]]) -> dict[int, int]:
    """How many luminaires there are of each whole footprint; those without slots are left out."""
    counts: dict[int, int] = {}
    for slots, count in footprints:
        if slots > 0:
            counts[math.ceil(slots)] = counts.get(math.ceil(slots), 0) + count
    return counts


def _of_one_size(size: int, count: int) -> int:
    return math.ceil(count / (UNIVERSE_SLOTS // size))


def _least(counts: Mapping[int, int]) -> int:
    least = math.ceil(sum(size * count for size, count in counts.items()) / UNIVERSE_SLOTS)
    so_far = 0
    for size in sorted(counts, reverse=True):
        so_far += counts[size]
        least = max(least, _of_one_size(size, so_far))
    return least


def _most(counts: Mapping[int, int]) -> int:
    smallest, largest = min(counts), max(counts)
    total = sum(size * count for size, count in counts.items())
    filled = 1 + (total - smallest) // (UNIVERSE_SLOTS + 1 - largest)
    return min(filled, _of_one_size(largest, sum(counts.values())))
