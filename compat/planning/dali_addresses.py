"""A DALI address plan: a short address for each logical unit, a group for each circuit.

Addresses 0 to 63 and groups 0 to 15 of each line are given in the order of the schedule: IEC 62386-102,
second hand. The channels of a luminaire with an address for each colour have a group each. What has no
address left is listed with the reason, never squeezed in.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from compat.dataset.read import Dataset
from compat.engine.gather import Circuit
from compat.engine.lines import Line
from compat.engine.members import Member
from compat.engine.site import Site
from compat.model.plan import GROUPS, SHORT_ADDRESSES, DaliAddresses, DaliPlace, NotPlanned
from compat.model.schedule import Schedule
from compat.model.values import UNKNOWN
from compat.planning.line_members import members_of, not_planned, stamp, whole_number, without_line
from compat.planning.rule_capacities import capacities, room_for
from compat.rulebook.rules import ParsedRule

KIND = "dali_line"
UNITS_OPEN = "its DALI addresses are not known as one whole number"
NO_UNIT = "it takes no DALI address"
NONE_LEFT = "no short address of the line is left"

# A circuit, and for a driver with an address for each colour its colours and the channel.
Group = tuple[str, str, int]


def dali_addresses(
    schedule: Schedule,
    circuits: Iterable[Circuit],
    lines: Sequence[Line],
    dataset: Dataset,
    rules: Iterable[ParsedRule],
    site: Site,
) -> DaliAddresses:
    """The address plan of all DALI lines; circuits that belong on one and are on none are listed.

    The rules may leave a line fewer addresses than 64, as where control devices count among them.
    """
    places: list[DaliPlace] = []
    left_out: list[NotPlanned] = []
    notes: list[str] = []
    used: dict[str, int] = {}
    for line in (line for line in lines if line.kind == KIND):
        room = room_for("line.dali_addresses", capacities(line, rules, site, dataset).values())
        groups: dict[Group, int] = {}
        used[line.id] = _address(line, int(min(SHORT_ADDRESSES, room)), groups, places, left_out)
        notes += _notes(line, len(groups))
    return DaliAddresses(
        **stamp(schedule, dataset),
        places=places,
        used=used,
        not_planned=[*left_out, *without_line(circuits, lines, KIND, dataset)],
        notes=notes,
    )


def _address(
    line: Line, room: int, groups: dict[Group, int], places: list[DaliPlace], left_out: list[NotPlanned]
) -> int:
    """Place the logical units of a line; gives how many addresses are used and fills ``groups``.

    A driver of several units gets neighbouring addresses, or none.
    """
    free = 0
    for circuit, member in members_of(line):
        units = whole_number(member, "dali_addresses")
        if not units:
            reason = UNITS_OPEN if units is None else NO_UNIT
            left_out.append(not_planned(line.id, circuit, member, member.row.quantity, reason))
            continue
        fitting = min(member.row.quantity, (room - free) // units)
        if fitting < member.row.quantity:
            left_out.append(not_planned(line.id, circuit, member, member.row.quantity - fitting, NONE_LEFT))
        for number in range(fitting):
            for unit in range(units):
                group = groups.setdefault(_group(circuit, member, units, unit), len(groups))
                places.append(
                    DaliPlace(
                        line=line.id,
                        short_address=free + number * units + unit,
                        group=group if group < GROUPS else None,
                        circuit=circuit.id,
                        room=circuit.room,
                        luminaire_type=member.name,
                        number=number + 1,
                        unit=unit + 1,
                    )
                )
        free += fitting * units
    return free


def _group(circuit: Circuit, member: Member, units: int, unit: int) -> Group:
    """What moves together: the circuit, or one channel of its luminaires of the same colours."""
    colour = member.traits.get("colour", UNKNOWN).content
    if units == 1 or colour == "none":
        return circuit.id, "", 0
    return circuit.id, str(colour), unit


def _notes(line: Line, groups: int) -> list[str]:
    notes = []
    if groups > GROUPS:
        notes.append(
            f"Line {line.id} takes {groups} groups, one for each circuit or colour channel; those after the "
            f"first {GROUPS} have no group of their own."
        )
    if line.values.get("line.dali_addressing") == "broadcast":
        notes.append(f"Line {line.id} is commanded by broadcast: its addresses serve maintenance only.")
    return notes
