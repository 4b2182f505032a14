"""From circuits with names and decimal figures to a problem in whole numbers, and back to sums."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence

from compat.plan.packing_problem import NOWHERE, Problem
from compat.plan.packing_types import LineCapacity, PackItem, Unplaced

PARTS_OF_A_UNIT = 1_000_000
LARGEST_LIMIT = 1e9
_SAME = 1e-12  # a sum of decimal figures is off by less; a real digit is above it


def usable(limit: float, spare_share: float) -> float:
    """What of a limit may be used."""
    return limit * (1.0 - spare_share)


def checked(
    items: Sequence[PackItem], capacity: LineCapacity, spare_share: float
) -> tuple[list[PackItem], list[Unplaced]]:
    """The circuits that a line of this kind can carry alone, and the others with the reason."""
    fit: list[PackItem] = []
    unplaced: list[Unplaced] = []
    for item in items:
        fault = _fault(item, capacity, spare_share)
        if fault is None:
            fit.append(item)
        else:
            unplaced.append(fault)
    return fit, unplaced


def _fault(item: PackItem, capacity: LineCapacity, spare_share: float) -> Unplaced | None:
    for key, limit in capacity.limits.items():
        demand = item.demands.get(key)
        if demand is None or not math.isfinite(demand):
            return Unplaced(item.name, "unknown_demand", key, f"its {key} is not known")
        if demand < 0:
            return Unplaced(item.name, "not_a_demand", key, f"its {key} is {demand:g}; allowed is 0 or more")
        if _up(demand) > _down(usable(limit, spare_share)):
            return Unplaced(item.name, "larger_than_a_line", key, _too_large(key, demand, limit, spare_share))
    return None


def _too_large(key: str, demand: float, limit: float, spare_share: float) -> str:
    held = f"its {key} is {demand:g}; a line holds {limit:g}"
    if spare_share == 0:
        return held
    return f"{held}, of which {usable(limit, spare_share):g} may be used with {spare_share:.0%} spare"


def _up(demand: float) -> int:
    parts = demand * PARTS_OF_A_UNIT
    near = round(parts)
    return near if math.isclose(parts, near, rel_tol=_SAME) else math.ceil(parts)


def _down(limit: float) -> int:
    parts = limit * PARTS_OF_A_UNIT
    near = round(parts)
    return near if math.isclose(parts, near, rel_tol=_SAME) else math.floor(parts)


def problem_of(items: Sequence[PackItem], capacity: LineCapacity, spare_share: float) -> Problem:
    """The problem of circuits that each fit alone, in the order given.

    Each limit is divided by the greatest common divisor of the demands on it: 51.2 addresses for whole
    addresses are 51.
    """
    columns = []
    limits = []
    for key, limit in capacity.limits.items():
        parts = [_up(item.demands[key]) for item in items]
        divisor = math.gcd(*parts) or 1
        columns.append([part // divisor for part in parts])
        limits.append(max(1, _down(usable(limit, spare_share)) // divisor))
    floors = _floors(items)
    rooms = [
        (floor, folded(item.room)) if folded(item.room) else None
        for item, floor in zip(items, floors, strict=True)
    ]
    return Problem(
        tuple(zip(*columns, strict=True)),
        tuple(limits),
        _numbered(rooms),
        _numbered([floor or None for floor in floors]),
    )


def _floors(items: Sequence[PackItem]) -> list[str]:
    """The floor of each circuit; one that states none has the floor of its room, if that has just one."""
    of_room: dict[str, set[str]] = {}
    for item in items:
        if folded(item.floor):
            of_room.setdefault(folded(item.room), set()).add(folded(item.floor))
    floors = []
    for item in items:
        known = of_room.get(folded(item.room), set()) if folded(item.room) else set()
        floors.append(folded(item.floor) or (next(iter(known)) if len(known) == 1 else ""))
    return floors


def _numbered(places: Sequence[object | None]) -> tuple[int, ...]:
    numbers: dict[object, int] = {}
    return tuple(NOWHERE if place is None else numbers.setdefault(place, len(numbers)) for place in places)


def folded(text: str) -> str:
    """A name without regard to case and spacing."""
    return " ".join(text.split()).casefold()


def in_order(items: Sequence[PackItem]) -> list[PackItem]:
    """By floor, room and name, numbers in a text by their value; the same for any order given."""
    return sorted(
        items, key=lambda item: (*(_natural(text) for text in (item.floor, item.room, item.name)), item.name)
    )


def _natural(text: str) -> tuple[tuple[int, int, str], ...]:
    """Digits sort before letters, and a number by its value: more digits, then the digits."""
    parts = []
    for part in re.findall(r"[0-9]+|[^0-9]+", folded(text)):
        if part[0] in "0123456789":
            digits = part.lstrip("0")
            parts.append((0, len(digits), digits))
        else:
            parts.append((1, 0, part))
    return tuple(parts)
