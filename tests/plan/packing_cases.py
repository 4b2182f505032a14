"""Made-up circuits, the best packing by trying everything, and what any proposal must keep."""

from __future__ import annotations

import random
import sys
from collections.abc import Iterator, Sequence

import pytest

from compat.plan.packing_types import LineCapacity, PackItem, Proposal

DALI = LineCapacity("dali_line", {"dali_addresses": 64.0, "dali_current_ma": 200.0})


DMX = LineCapacity("dmx_segment", {"dmx_slots": 512.0, "dmx_unit_loads": 32.0})


PAIR = LineCapacity("analog_pair", {})


SMALL = LineCapacity("dali_line", {"dali_addresses": 10.0, "dali_current_ma": 12.0})


def hide_solver(patch: pytest.MonkeyPatch) -> None:
    """As if the extra were not installed."""
    patch.setitem(sys.modules, "ortools.sat.python", None)


def dali(name: str, addresses: float, room: str = "", floor: str = "", ma: float = 0.0) -> PackItem:
    return PackItem(name, room, floor, "dali_line", {"dali_addresses": addresses, "dali_current_ma": ma})


def made_up(count: int, seed: int, most: int = 16) -> list[PackItem]:
    rng = random.Random(seed)
    rooms = [(f"Room {number}", f"Floor {rng.randrange(3)}") for number in range(1, count // 3 + 2)]
    found = []
    for number in range(1, count + 1):
        room, floor = rng.choice(rooms)
        addresses = rng.randint(1, most)
        found.append(dali(f"C{number}", addresses, room, floor, addresses * rng.choice((1.5, 2.0, 4.0))))
    return found


def partitions(items: Sequence[PackItem]) -> Iterator[list[list[PackItem]]]:
    """Every way to put the items in heaps, in any number."""
    if not items:
        yield []
        return
    first, *rest = items
    for heaps in partitions(rest):
        yield [[first], *heaps]
        for place, heap in enumerate(heaps):
            yield [*heaps[:place], [first, *heap], *heaps[place + 1 :]]


def splits(heaps: Sequence[Sequence[PackItem]], *keys: str) -> int:
    """Places on heaps less one for each place, over all places that are named."""
    on = [
        {tuple(getattr(item, key) for key in keys) for item in heap if getattr(item, keys[-1])}
        for heap in heaps
    ]
    return sum(len(one) for one in on) - len(set().union(*on))


def brute_force(items: Sequence[PackItem], capacity: LineCapacity, spare: float) -> tuple[int, int, int]:
    """Fewest lines, then fewest room splits, then fewest floor splits, by trying everything."""
    return min(
        (len(heaps), splits(heaps, "floor", "room"), splits(heaps, "floor"))
        for heaps in partitions(items)
        if all(
            sum(item.demands[key] for item in heap) <= limit * (1 - spare) + 1e-9
            for heap in heaps
            for key, limit in capacity.limits.items()
        )
    )


def small_case(seed: int) -> list[PackItem]:
    rng = random.Random(seed)
    rooms = [("Hall", "Ground"), ("Hall", "First"), ("Study", "First"), ("Attic", ""), ("", "Ground")]
    found = []
    for number in range(rng.randint(2, 7)):
        room, floor = rng.choice(rooms)
        found.append(dali(f"C{number}", rng.randint(1, 7), room, floor, rng.choice((0.5, 2.0, 3.5, 6.0))))
    return found


def figures(proposal: Proposal) -> tuple[int, int, int]:
    return len(proposal.lines), proposal.room_splits, proposal.floor_splits


def assert_sound(proposal: Proposal, items: Sequence[PackItem], spare: float, *kinds: LineCapacity) -> None:
    """Every circuit once, on a line of its kind, whole, with no limit passed and no bound above the lines."""
    by_name = {item.name: item for item in items}
    limits = {capacity.kind: capacity.limits for capacity in kinds}
    placed = [name for line in proposal.lines for name in line.items]
    assert sorted(placed + [one.name for one in proposal.unplaced]) == sorted(by_name)
    assert len({line.name for line in proposal.lines}) == len(proposal.lines)
    for line in proposal.lines:
        assert line.items
        assert {by_name[name].kind for name in line.items} == {line.kind}
        for key, limit in limits[line.kind].items():
            total = sum(by_name[name].demands[key] for name in line.items)
            assert total <= limit * (1 - spare) * (1 + 1e-9)
            assert line.used[key] == pytest.approx(total)
    assert 0 <= proposal.lower_bound <= len(proposal.lines)
    assert proposal.gap == len(proposal.lines) - proposal.lower_bound
    assert proposal.optimal == (proposal.gap == 0)
    assert 0 <= proposal.least_room_splits <= proposal.room_splits
    assert 0 <= proposal.least_floor_splits <= proposal.floor_splits
