"""A DMX patch: start addresses by line, without overlap and without splitting a luminaire.

Luminaires are packed in as few universes as the packer finds, those of a circuit together where that costs
none, and have addresses in the order of the schedule. Luminaires of a circuit whose output sends too few
slots for them share one start address: they are a zone. ANSI E1.11 numbers the slots of a universe 1 to 512.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from compat.dataset.read import Dataset
from compat.engine.gather import Circuit
from compat.engine.lines import Line
from compat.engine.members import Member
from compat.engine.site import quantity
from compat.model.plan import DmxPatch, DmxPlace, NotPlanned
from compat.model.schedule import Schedule
from compat.model.values import Interval
from compat.physics.dmx_universes import UNIVERSE_SLOTS
from compat.planning.line_members import members_of, not_planned, stamp, whole_number, without_line
from compat.planning.packer import Capacity, Item, pack

KIND = "dmx_segment"
SLOTS_OPEN = "its DMX slots are not known as one whole number"
SLOTS_WRONG = f"it takes no slot or more than {UNIVERSE_SLOTS}"
NO_SLOT_LEFT = "no slot that its output sends is left"


@dataclass(frozen=True, slots=True)
class _Block:
    """Luminaires (with their number in their row) at one start address; ``order`` is that of the schedule.

    ``window``: the last slot that their output sends.
    """

    order: int
    circuit: Circuit
    luminaires: tuple[tuple[Member, int], ...]
    slots: int
    window: int


def dmx_patch(
    schedule: Schedule, circuits: Iterable[Circuit], lines: Sequence[Line], dataset: Dataset
) -> DmxPatch:
    """The patch of all DMX lines; circuits that belong on one and are on none are listed."""
    places: list[DmxPlace] = []
    left_out: list[NotPlanned] = []
    notes: list[str] = []
    universes: dict[str, int] = {}
    for line in (line for line in lines if line.kind == KIND):
        patched = _patched(line, dataset, left_out)
        universes[line.id] = len(patched)
        starts = {
            block.order: (block, universe, 1 + sum(before.slots for before in blocks[:place]))
            for universe, blocks in enumerate(patched, 1)
            for place, block in enumerate(blocks)
        }
        for _, (block, universe, start) in sorted(starts.items()):
            places += _places(line.id, block, universe, start)
        notes += _notes(line, patched)
    return DmxPatch(
        **stamp(schedule, dataset),
        places=places,
        universes=universes,
        not_planned=[*left_out, *without_line(circuits, lines, KIND, dataset)],
        notes=notes,
    )


def slot_window(output_id: str | None, dataset: Dataset) -> int:
    """The slots that an output sends: 512 at most, and where it does not say so."""
    sent = quantity(dataset.tables["outputs"][output_id].traits, "dmx_slots") if output_id else None
    return min(UNIVERSE_SLOTS, math.floor(sent.low)) if sent else UNIVERSE_SLOTS


def slots_taken(circuit: Circuit, window: int) -> float:
    """The most slots of a circuit on an output that sends ``window``; NaN where a footprint is not known."""
    if any(quantity(member.traits, "dmx_slots") is None for member in circuit.members):
        return math.nan
    return max(map(_footprint, circuit.members)) if _is_zone(circuit, window) else _each_by_itself(circuit)


def _footprint(member: Member) -> int:
    slots = quantity(member.traits, "dmx_slots")
    return math.ceil(slots.high) if slots else 0


def _each_by_itself(circuit: Circuit) -> int:
    return sum(_footprint(member) * member.row.quantity for member in circuit.members)


def _is_zone(circuit: Circuit, window: int) -> bool:
    """Whether luminaires share their slots: none is to be set by itself, and the output sends too few."""
    alone = circuit.column_traits["wanted_individual_control"].content is True
    return not alone and window < UNIVERSE_SLOTS and _each_by_itself(circuit) > window


def _patched(line: Line, dataset: Dataset, left_out: list[NotPlanned]) -> list[list[_Block]]:
    """The blocks of each universe by address. An output of few slots sends the start of the first one."""
    first: list[_Block] = []
    others: list[_Block] = []
    outside: Counter[int] = Counter()
    for block in sorted(_blocks(line, dataset, left_out), key=lambda block: block.window):
        if block.window == UNIVERSE_SLOTS:
            others.append(block)
        elif sum(before.slots for before in first) + block.slots <= block.window:
            first.append(block)
        else:
            outside.update(id(member) for member, _ in block.luminaires)
    left_out += [
        not_planned(line.id, circuit, member, outside[id(member)], NO_SLOT_LEFT)
        for circuit, member in members_of(line)
        if outside[id(member)]
    ]
    rank = {circuit.id: str(number) for number, circuit in enumerate(line.circuits)}
    parts = {"": first} if first else {}
    parts |= {str(block.order): [block] for block in others}
    items = [
        Item(name, KIND, {KIND: sum(block.slots for block in part)}, rank[part[0].circuit.id] if name else "")
        for name, part in parts.items()
    ]
    packing = pack(items, {KIND: {KIND: Capacity(UNIVERSE_SLOTS)}})
    return [[block for name in names for block in parts[name]] for _, names in packing.bins]


def _blocks(line: Line, dataset: Dataset, left_out: list[NotPlanned]) -> Iterator[_Block]:
    """What is placed on a line; luminaires that can have no place are left out."""
    order = 0
    for circuit in line.circuits:
        window = slot_window(circuit.output_id, dataset)
        fitting: list[tuple[Member, int]] = []
        for member in circuit.members:
            reason = _misfit(whole_number(member, "dmx_slots"), window)
            if reason:
                left_out.append(not_planned(line.id, circuit, member, member.row.quantity, reason))
            else:
                fitting += [(member, number) for number in range(1, member.row.quantity + 1)]
        zone = _is_zone(circuit, window) and fitting
        for luminaires in [tuple(fitting)] if zone else [(one,) for one in fitting]:
            slots = max(_footprint(member) for member, _ in luminaires)
            yield _Block(order, circuit, luminaires, slots, window)
            order += 1


def _misfit(footprint: int | None, window: int) -> str:
    """Why a luminaire has no place anywhere; empty when it may have one."""
    if footprint is None:
        return SLOTS_OPEN
    if not 1 <= footprint <= UNIVERSE_SLOTS:
        return SLOTS_WRONG
    return f"it takes {footprint} slots; its output sends {window}" if footprint > window else ""


def _places(line: str, block: _Block, universe: int, start: int) -> Iterator[DmxPlace]:
    for member, number in block.luminaires:
        footprint = _footprint(member)
        yield DmxPlace(
            line=line,
            universe=universe,
            start_address=start,
            end_address=start + footprint - 1,
            footprint=footprint,
            circuit=block.circuit.id,
            room=block.circuit.room,
            luminaire_type=member.name,
            number=number,
        )


def _notes(line: Line, universes: Sequence[Sequence[_Block]]) -> list[str]:
    notes = [
        f"Circuit {block.circuit.id}: its {len(block.luminaires)} luminaires share one start address, since "
        f"output {block.circuit.output_id} sends {block.window} slots."
        for blocks in universes
        for block in blocks
        if len(block.luminaires) > 1
    ]
    stated = line.values.get("line.dmx_universes")
    if isinstance(stated, Interval) and len(universes) > stated.low:
        many = f"Line {line.id} takes {len(universes)} universes; the project has {stated.low:g} for it."
        notes.append(many)
    return notes
