"""Proven lower bounds: on the number of lines, and on how often rooms and floors must be split.

For one limit, the bound of Martello and Toth (Knapsack Problems, 1990, section 8.3, "L2"): for a threshold
up to half the limit, circuits larger than the limit less the threshold each need a line of their own, those
above half can share no line with each other, and what the rest exceeds the room beside them by needs
further lines. Any packing obeys every limit, so the greatest bound of all limits holds.
"""

from __future__ import annotations

from collections.abc import Sequence

from compat.plan.packing_problem import Problem, grouped


def least_lines_of_sizes(sizes: Sequence[int], limit: int) -> int:
    """The bound for one limit; each size is at most ``limit``."""
    positive = sorted(size for size in sizes if size > 0)
    halves = [0, *(size for size in sorted(set(positive)) if 2 * size <= limit)]
    return max((_at_threshold(positive, limit, threshold) for threshold in halves), default=0)


def _at_threshold(sizes: Sequence[int], limit: int, threshold: int) -> int:
    alone = sum(1 for size in sizes if size > limit - threshold)
    large = [size for size in sizes if limit - threshold >= size and 2 * size > limit]
    rest = sum(size for size in sizes if size >= threshold and 2 * size <= limit)
    free = len(large) * limit - sum(large)
    return alone + len(large) + max(0, -((free - rest) // limit))


def least_lines(problem: Problem, items: Sequence[int]) -> int:
    """No arrangement puts ``items`` on fewer lines than this."""
    bounds = [
        least_lines_of_sizes([problem.sizes[item][place] for item in items], limit)
        for place, limit in enumerate(problem.limits)
    ]
    return max([1 if items else 0, *bounds])


def least_splits(problem: Problem, places: Sequence[int]) -> int:
    """No arrangement splits the rooms (or floors) ``places`` less often than this."""
    everywhere = grouped(places, range(len(places)))
    return sum(least_lines(problem, items) - 1 for items in everywhere.values())
