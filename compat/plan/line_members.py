"""The luminaires to be placed on the lines of one kind, and those that have no line."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence

from compat.dataset.read import Dataset
from compat.engine.gather import Circuit
from compat.engine.line_stated import kind_from_circuits
from compat.engine.lines import Line
from compat.engine.members import Member
from compat.engine.site import quantity
from compat.model.plan import NotPlanned

MOST_EACH = 1_000_000


def whole_number(member: Member, trait: str) -> int | None:
    """A count that is known exactly and is whole; None otherwise."""
    interval = quantity(member.traits, trait)
    if interval is None or not interval.is_exact() or interval.low != math.floor(interval.low):
        return None
    return int(interval.low) if interval.low <= MOST_EACH else None


def members_of(line: Line) -> Iterator[tuple[Circuit, Member]]:
    """Each row of a line with its circuit, in the order of the schedule."""
    return ((circuit, member) for circuit in line.circuits for member in circuit.members)


def not_planned(line: str, circuit: Circuit, member: Member, quantity: int, reason: str) -> NotPlanned:
    """Some luminaires of a row, left out."""
    return NotPlanned(
        line=line,
        circuit=circuit.id,
        room=circuit.room,
        luminaire_type=member.name,
        quantity=quantity,
        reason=reason,
    )


def without_line(
    circuits: Iterable[Circuit], lines: Sequence[Line], kind: str, dataset: Dataset
) -> list[NotPlanned]:
    """The luminaires of circuits that are for a kind of line, and are on none of the lines."""
    placed = {circuit.id for line in lines for circuit in line.circuits}
    return [
        not_planned("", circuit, member, member.row.quantity, "the circuit names no line")
        for circuit in circuits
        if circuit.id not in placed and kind_from_circuits([circuit], dataset).content == kind
        for member in circuit.members
    ]
