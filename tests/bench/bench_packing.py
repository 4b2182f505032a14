"""Lines used, proven bound, rooms split and time of the packing; what each of its parts is worth.

Run by hand: ``python -m tests.bench.bench_packing [SIZES]``. Circuits are made up from a seed, in rooms.
Lines hold 64 addresses and 200 mA, or 512 slots and 32 unit loads, with 20 % left free. The last table is
the whole way of a schedule without lines: capacities from the rules, packing, every line judged.

Lines and rooms split, on two cores; CP-SAT (OR-Tools 9.15, after a first fit; it also kept floors together)
is what the program had before:

    circuits      best fit alone    rooms whole    with exchanges       CP-SAT           bound
    DALI    60        8,  31           8, 0         8, 0   0.01 s       8, 0   2.2 s       8
    DALI   300       36, 160          36, 0        36, 0   0.01 s      36, 0   3.9 s      36
    DALI 1,000      115, 523         115, 1       115, 1   0.06 s     115, 1   8.9 s     115
    DMX     60        3,  16           3, 0         3, 0   0.01 s       3, 0   none        3
    DMX    300       15, 153          14, 0        13, 0   0.03 s      13, 0   8.0 s      13
    DMX  1,000       53, 562          47, 0        45, 0   0.7  s      45, 0   8.3 s      45
"""

from __future__ import annotations

import random
import sys
import time
from collections.abc import Callable
from unittest.mock import patch

from compat.api import Inputs, open_inputs
from compat.engine.check import Check
from compat.model.schedule import Schedule, ScheduleRow
from compat.planning import bin_packing
from compat.planning.bin_packing import Problem
from compat.planning.packer import Capacity, Item, Kinds, pack
from compat.planning.proposal import SPARE_SHARE, with_proposed_lines

SEED = 20261125
KINDS: Kinds = {
    "dali_line": {
        "dali_addresses": Capacity(64.0, SPARE_SHARE),
        "dali_current_ma": Capacity(200.0, SPARE_SHARE),
    },
    "dmx_segment": {
        "dmx_slots": Capacity(512.0, SPARE_SHARE),
        "dmx_unit_loads": Capacity(32.0, SPARE_SHARE),
    },
}
CIRCUITS_IN_A_ROOM = (1, 2, 2, 3, 3, 4, 5, 6)
GEAR_IN_A_CIRCUIT = (1, 1, 2, 2, 3, 4, 4, 5, 6, 6, 8, 8, 10, 12, 16)
GEAR_CURRENT_MA = (2.0, 2.0, 2.0, 1.5, 1.8)
SLOTS_OF_A_LUMINAIRE = (1, 2, 3, 4, 4, 5, 6, 8, 10, 14, 20, 24)


def circuits(count: int, kind: str, seed: int = SEED) -> list[Item]:
    """Made-up circuits of one kind of line in rooms, the same that were packed before."""
    rng = random.Random(f"{seed} {kind} {count}")
    found: list[Item] = []
    room = 0
    while len(found) < count:
        room += 1
        rng.randrange(4 if count <= 300 else 6)  # the floor, which schedules do not state
        for _ in range(min(rng.choice(CIRCUITS_IN_A_ROOM), count - len(found))):
            found.append(Item(f"C{len(found) + 1}", kind, _weights(rng, kind), f"Room {room}"))
    return found


def _weights(rng: random.Random, kind: str) -> dict[str, float]:
    if kind == "dali_line":
        gear = rng.choice(GEAR_IN_A_CIRCUIT)
        return {"dali_addresses": float(gear), "dali_current_ma": gear * rng.choice(GEAR_CURRENT_MA)}
    luminaires = rng.choice((1, 1, 1, 2, 2, 3, 4))
    unit_loads = luminaires * rng.choice((0.25, 0.5, 1.0))
    return {"dmx_slots": float(luminaires * rng.choice(SLOTS_OF_A_LUMINAIRE)), "dmx_unit_loads": unit_loads}


def _first_fit_decreasing(problem: Problem, least: int) -> list[list[int]]:
    return bin_packing._best_fit(problem)


WAYS: dict[str, tuple[str, Callable[..., object]] | None] = {
    "best fit decreasing, no rooms": ("compat.planning.packer.arranged", _first_fit_decreasing),
    "rooms whole, no exchanges": ("compat.planning.bin_packing._Bins._made_room", lambda *_: False),
    "as shipped": None,
}


def _packed(items: list[Item], kind: str, way: str) -> None:
    changed = WAYS[way]
    began = time.perf_counter()
    if changed:
        with patch(*changed):
            packing = pack(items, {kind: KINDS[kind]})
    else:
        packing = pack(items, {kind: KINDS[kind]})
    seconds = time.perf_counter() - began
    rooms = {item.name: item.group for item in items}
    places = sum(len({rooms[name] for name in names}) for _, names in packing.bins)
    split = places - len(set(rooms.values()))
    used = f"{len(packing.bins)} lines, at least {packing.lower_bound}, {split} room splits"
    _write(f"  {way:<32}{used:<44}{seconds:7.2f} s")


def _whole_way(count: int) -> None:
    """Schedule rows of one driver type for each kind of line, through the engine."""
    opened = open_inputs(Inputs())
    check = Check(opened.dataset, opened.rules, opened.setting, brief=True)
    rows = [
        ScheduleRow(number, item.name, int(item.weights["dali_addresses"]), item.group, "", "D0033", "O0044")
        for number, item in enumerate(circuits(count, "dali_line"), 2)
    ]
    schedule = Schedule("made.csv", "", tuple(rows))
    report = check.report(schedule)
    began = time.perf_counter()
    proposed = with_proposed_lines(check, schedule, report)
    _write(f"  {count} circuits: {len(proposed.lines)} lines in {time.perf_counter() - began:.2f} s")


def _write(text: str) -> None:
    sys.stdout.write(text + "\n")
    sys.stdout.flush()


def main() -> None:
    sizes = [int(size) for size in sys.argv[1].split(",")] if len(sys.argv) > 1 else [60, 300, 1000]
    for kind in KINDS:
        for count in sizes:
            _write(f"{kind}, {count} circuits")
            for way in WAYS:
                _packed(circuits(count, kind), kind, way)
    _write("a schedule without lines: capacities, packing, every line judged")
    for count in sizes:
        _whole_way(count)


if __name__ == "__main__":
    main()
