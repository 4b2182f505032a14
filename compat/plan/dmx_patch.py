"""A DMX patch: start addresses by line, without overlap and without splitting a luminaire.

Luminaires are taken in the order of the schedule; each goes to the first universe of its line with
enough slots left. ANSI E1.11 numbers the slots of a universe 1 to 512.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from compat import __version__
from compat.dataset.read import Dataset
from compat.engine.gather import Circuit
from compat.engine.lines import Line
from compat.engine.members import Member
from compat.model.plan import DmxPatch, DmxPlace, NotPlanned
from compat.model.report import DatasetStamp
from compat.model.schedule import Schedule
from compat.model.values import Interval
from compat.physics.dmx_universes import UNIVERSE_SLOTS
from compat.plan.line_members import members_of, not_planned, whole_number, without_line

KIND = "dmx_segment"
SLOTS_OPEN = "its DMX slots are not known as one whole number"
SLOTS_WRONG = f"it takes no slot or more than {UNIVERSE_SLOTS}"


def dmx_patch(
    schedule: Schedule, circuits: Iterable[Circuit], lines: Sequence[Line], dataset: Dataset
) -> DmxPatch:
    """The patch of all DMX lines; circuits that are for one and name none are listed."""
    of_kind = [line for line in lines if line.kind == KIND]
    places: list[DmxPlace] = []
    left_out: list[NotPlanned] = []
    notes: list[str] = []
    universes: dict[str, int] = {}
    for line in of_kind:
        used = _patch(line, places, left_out)
        universes[line.id] = len(used)
        notes += _notes(line, len(used))
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


def _patch(line: Line, places: list[DmxPlace], left_out: list[NotPlanned]) -> list[int]:
    """Place the luminaires of a line; gives the slots used in each universe."""
    used: list[int] = []
    for circuit, member in members_of(line):
        footprint = whole_number(member, "dmx_slots")
        if footprint is None or not 1 <= footprint <= UNIVERSE_SLOTS:
            reason = SLOTS_OPEN if footprint is None else SLOTS_WRONG
            left_out.append(not_planned(line.id, circuit, member, member.row.quantity, reason))
            continue
        for number in range(1, member.row.quantity + 1):
            universe = next(
                (place for place, slots in enumerate(used) if slots + footprint <= UNIVERSE_SLOTS), len(used)
            )
            if universe == len(used):
                used.append(0)
            places.append(_place(line, circuit, member, number, universe, used[universe] + 1, footprint))
            used[universe] += footprint
    return used


def _place(
    line: Line, circuit: Circuit, member: Member, number: int, universe: int, start: int, footprint: int
) -> DmxPlace:
    return DmxPlace(
        line=line.id,
        universe=universe + 1,
        start_address=start,
        end_address=start + footprint - 1,
        footprint=footprint,
        circuit=circuit.id,
        room=circuit.room,
        luminaire_type=member.name,
        number=number,
    )


def _notes(line: Line, universes: int) -> list[str]:
    stated = line.values.get("line.dmx_universes")
    if isinstance(stated, Interval) and universes > stated.low:
        return [f"Line {line.id} takes {universes} universes; the project has {stated.low:g} for it."]
    return []
