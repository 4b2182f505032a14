"""A DMX patch: start addresses by line, without overlap and without splitting a luminaire.

Luminaires are taken in the order of the schedule, each in the first universe of its line with enough slots
left; where that takes too many universes they are packed. Luminaires of a circuit whose output sends too few
slots for them share one start address: they are a zone. ANSI E1.11 numbers the slots of a universe 1 to 512.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from compat import __version__
from compat.dataset.read import Dataset
from compat.engine.gather import Circuit
from compat.engine.lines import Line
from compat.engine.members import Member
from compat.engine.site import quantity
from compat.model.plan import DmxPatch, DmxPlace, NotPlanned
from compat.model.report import DatasetStamp
from compat.model.schedule import Schedule
from compat.model.values import Interval
from compat.physics.dmx_universes import UNIVERSE_SLOTS, universes_between
from compat.plan.line_members import members_of, not_planned, whole_number, without_line
from compat.plan.packer import Capacity, Item, pack

KIND = "dmx_segment"
SLOTS_OPEN = "its DMX slots are not known as one whole number"
SLOTS_WRONG = f"it takes no slot or more than {UNIVERSE_SLOTS}"
NO_SLOT_LEFT = "no slot that its output sends is left"


@dataclass(frozen=True, slots=True)
class _Block:
    """Luminaires (with their number in their row) at one start address, in the order of the schedule.

    ``window``: the last slot that their output sends.
    """

    order: int
    circuit: Circuit
    luminaires: tuple[tuple[Member, int], ...]
    window: int

    @property
    def slots(self) -> int:
        return max(_footprint(member) for member, _ in self.luminaires)


Universe = list[_Block]  # in the order of the addresses, without a gap


def dmx_patch(
    schedule: Schedule, circuits: Iterable[Circuit], lines: Sequence[Line], dataset: Dataset
) -> DmxPatch:
    """The patch of all DMX lines; circuits that belong on one and are on none are listed."""
    places: list[DmxPlace] = []
    left_out: list[NotPlanned] = []
    notes: list[str] = []
    universes: dict[str, int] = {}
    for line in (line for line in lines if line.kind == KIND):
        used = _patched(line, dataset, left_out)
        universes[line.id] = len(used)
        placed = (
            (block, number, start)
            for number, blocks in enumerate(used, 1)
            for block, start in _starts(blocks)
        )
        for block, number, start in sorted(placed, key=lambda entry: entry[0].order):
            places += _places(line.id, block, number, start)
        notes += _notes(line, used)
    return DmxPatch(
        program_version=__version__,
        dataset=DatasetStamp(version=dataset.version, sha256=dataset.sha256),
        schedule=schedule.file,
        schedule_sha256=schedule.sha256,
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
    """The slots of a circuit on an output that sends ``window``; NaN where a footprint is not known."""
    footprints = [whole_number(member, "dmx_slots") for member in circuit.members]
    if None in footprints:
        return math.nan
    return max(map(_footprint, circuit.members)) if _is_zone(circuit, window) else _each_by_itself(circuit)


def _footprint(member: Member) -> int:
    return whole_number(member, "dmx_slots") or 0


def _each_by_itself(circuit: Circuit) -> int:
    return sum(_footprint(member) * member.row.quantity for member in circuit.members)


def _is_zone(circuit: Circuit, window: int) -> bool:
    """Whether luminaires share their slots: none is to be set by itself, and the output sends too few."""
    alone = circuit.column_traits["wanted_individual_control"].content is True
    return not alone and window < UNIVERSE_SLOTS and _each_by_itself(circuit) > window


def _patched(line: Line, dataset: Dataset, left_out: list[NotPlanned]) -> list[Universe]:
    """The universes of a line. What an output of few slots sends stands at the start of the first."""
    blocks = list(_blocks(line, dataset, left_out))
    first: Universe = []
    outside: Counter[int] = Counter()
    for block in sorted(blocks, key=lambda block: block.window):
        if block.window < UNIVERSE_SLOTS and _slots(first) + block.slots <= block.window:
            first.append(block)
        elif block.window < UNIVERSE_SLOTS:
            outside.update(id(member) for member, _ in block.luminaires)
    left_out += [
        not_planned(line.id, circuit, member, outside[id(member)], NO_SLOT_LEFT)
        for circuit, member in members_of(line)
        if outside[id(member)]
    ]
    others = [block for block in blocks if block.window == UNIVERSE_SLOTS]
    found = _in_order(first, others)
    sizes = [(Interval(block.slots, block.slots), 1) for block in [*first, *others]]
    if len(found) > universes_between(sizes).low:
        found = min(found, _packed(first, others), key=len)
    return found


def _blocks(line: Line, dataset: Dataset, left_out: list[NotPlanned]) -> Iterator[_Block]:
    """What is placed on a line; luminaires of which that cannot be said are left out."""
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
        zone = _is_zone(circuit, window)
        for luminaires in [tuple(fitting)] if zone and fitting else [(one,) for one in fitting]:
            yield _Block(order, circuit, luminaires, window)
            order += 1


def _misfit(footprint: int | None, window: int) -> str:
    """Why a luminaire has no place anywhere; empty when it may have one."""
    if footprint is None:
        return SLOTS_OPEN
    if not 1 <= footprint <= UNIVERSE_SLOTS:
        return SLOTS_WRONG
    return f"it takes {footprint} slots; its output sends {window}" if footprint > window else ""


def _slots(blocks: Iterable[_Block]) -> int:
    return sum(block.slots for block in blocks)


def _in_order(first: Universe, others: Sequence[_Block]) -> list[Universe]:
    """Each block in the first universe with enough slots left."""
    found, used = ([[*first]], [_slots(first)]) if first else ([], [])
    for block in others:
        size = block.slots
        place = next((n for n, slots in enumerate(used) if slots + size <= UNIVERSE_SLOTS), len(used))
        if place == len(used):
            found.append([])
            used.append(0)
        found[place].append(block)
        used[place] += size
    return found


def _packed(first: Universe, others: Sequence[_Block]) -> list[Universe]:
    """The blocks in as few universes as the packer finds, each in the order of the schedule."""
    parts = [first, *([block] for block in others)] if first else [[block] for block in others]
    items = [Item(str(number), KIND, {KIND: _slots(part)}) for number, part in enumerate(parts)]
    packing = pack(items, {KIND: {KIND: Capacity(UNIVERSE_SLOTS)}})
    return [[block for name in names for block in parts[int(name)]] for _, names in packing.bins]


def _starts(blocks: Universe) -> Iterator[tuple[_Block, int]]:
    start = 1
    for block in blocks:
        yield block, start
        start += block.slots


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


def _notes(line: Line, universes: Sequence[Universe]) -> list[str]:
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
