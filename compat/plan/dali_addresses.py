"""A DALI address plan: a short address for each logical unit, a group for each circuit.

Addresses 0 to 63 and groups 0 to 15 of each line are given in the order of the schedule: IEC 62386-102,
second hand. What has no address left is listed with the reason, never squeezed in.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from compat import __version__
from compat.dataset.read import Dataset
from compat.engine.gather import Circuit
from compat.engine.lines import Line
from compat.model.plan import DaliAddresses, DaliPlace, NotPlanned
from compat.model.report import DatasetStamp
from compat.model.schedule import Schedule
from compat.plan.line_members import members_of, not_planned, whole_number, without_line

KIND = "dali_line"
ADDRESSES = 64
GROUPS = 16
UNITS_OPEN = "its DALI addresses are not known as one whole number"
NO_UNIT = "it takes no DALI address"
NONE_LEFT = "no short address of the line is left"


def dali_addresses(
    schedule: Schedule, circuits: Iterable[Circuit], lines: Sequence[Line], dataset: Dataset
) -> DaliAddresses:
    """The address plan of all DALI lines; circuits that are for one and name none are listed."""
    of_kind = [line for line in lines if line.kind == KIND]
    places: list[DaliPlace] = []
    left_out: list[NotPlanned] = []
    notes: list[str] = []
    used: dict[str, int] = {}
    for line in of_kind:
        used[line.id] = _address(line, places, left_out)
        notes += _notes(line)
    return DaliAddresses(
        program_version=__version__,
        dataset=DatasetStamp(version=dataset.version, sha256=dataset.sha256),
        schedule=schedule.file,
        schedule_sha256=schedule.sha256,
        places=places,
        used=used,
        not_planned=[*left_out, *without_line(circuits, lines, KIND, dataset)],
        notes=notes,
    )


def _address(line: Line, places: list[DaliPlace], left_out: list[NotPlanned]) -> int:
    """Place the logical units of a line; gives how many addresses are used.

    A driver of several units gets neighbouring addresses, or none.
    """
    groups = {circuit.id: place for place, circuit in enumerate(line.circuits) if place < GROUPS}
    free = 0
    for circuit, member in members_of(line):
        units = whole_number(member, "dali_addresses")
        if not units:
            reason = UNITS_OPEN if units is None else NO_UNIT
            left_out.append(not_planned(line.id, circuit, member, member.row.quantity, reason))
            continue
        fitting = min(member.row.quantity, (ADDRESSES - free) // units)
        if fitting < member.row.quantity:
            left_out.append(not_planned(line.id, circuit, member, member.row.quantity - fitting, NONE_LEFT))
        places += [
            DaliPlace(
                line=line.id,
                short_address=free + number * units + unit,
                group=groups.get(circuit.id),
                circuit=circuit.id,
                room=circuit.room,
                luminaire_type=member.name,
                number=number + 1,
                unit=unit + 1,
            )
            for number in range(fitting)
            for unit in range(units)
        ]
        free += fitting * units
    return free


def _notes(line: Line) -> list[str]:
    notes = []
    if len(line.circuits) > GROUPS:
        notes.append(
            f"Line {line.id} has {len(line.circuits)} circuits and {GROUPS} groups: those after the first "
            f"{GROUPS} have no group of their own."
        )
    if line.values.get("line.dali_addressing") == "broadcast":
        notes.append(f"Line {line.id} is commanded by broadcast: its addresses serve maintenance only.")
    return notes
