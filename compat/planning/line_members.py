"""The luminaires to be placed on the lines of one kind, and those that have no line."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from compat import __version__
from compat.dataset.read import Dataset
from compat.engine.gather import Circuit
from compat.engine.line_stated import KIND_OF_METHOD, kind_from_circuits
from compat.engine.lines import Line
from compat.engine.members import Member
from compat.engine.site import quantity
from compat.model.plan import NotPlanned
from compat.model.report import DatasetStamp
from compat.model.schedule import Schedule
from compat.model.values import UNKNOWN, TokenSet

MOST_EACH = 1_000_000
MOST_NAMED = 3


def stamp(schedule: Schedule, dataset: Dataset) -> dict[str, Any]:
    """What every plan says of the program, the dataset and the schedule it was made of."""
    return {
        "program_version": __version__,
        "dataset": DatasetStamp(version=dataset.version, sha256=dataset.sha256),
        "schedule": schedule.file,
        "schedule_sha256": schedule.sha256,
    }


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
    """The luminaires of circuits that belong on a kind of line, and are on none of that kind.

    On a line of no known kind a circuit is listed as soon as it may belong there.
    """
    line_of = {circuit.id: line for line in lines for circuit in line.circuits}
    found = []
    for circuit in circuits:
        line = line_of.get(circuit.id)
        belongs = kind_from_circuits([circuit], dataset).content == kind
        if line is None:
            reason = "the circuit names no line" if belongs else ""
        elif line.kind is None:
            reason = _of_no_kind(line, kind, dataset) if kind in _kinds(circuit, dataset) else ""
        else:
            own = dataset.vocabulary.symbol(line.kind, "line_kind")
            reason = f"its line is of another kind: {own}" if belongs and line.kind != kind else ""
        if reason:
            label = line.id if line else ""
            found += [not_planned(label, circuit, m, m.row.quantity, reason) for m in circuit.members]
    return found


def _of_no_kind(line: Line, kind: str, dataset: Dataset) -> str:
    """Why a line is of no known kind, as seen by the circuits that may belong on ``kind``."""
    wanted = dataset.vocabulary.symbol(kind, "line_kind")
    others = [circuit.id for circuit in line.circuits if kind not in _kinds(circuit, dataset)]
    if not others:
        return f"the kind of its line is not known: state that it is a {wanted}"
    named = ", ".join(others[:MOST_NAMED]) + (" ..." if len(others) > MOST_NAMED else "")
    return f"its line has circuits that cannot be on a {wanted}: {named}"


def _kinds(circuit: Circuit, dataset: Dataset) -> set[str]:
    """The kinds of line that may control a circuit; each, where its methods are not known."""
    methods = circuit.values.get("circuit.methods")
    if circuit.output_id is not None:
        methods = dataset.tables["outputs"][circuit.output_id].traits.get("method", UNKNOWN).content
    if isinstance(methods, str):
        methods = TokenSet.exactly(methods)
    possible = methods.possible if isinstance(methods, TokenSet) else KIND_OF_METHOD
    return {KIND_OF_METHOD[method] for method in possible if method in KIND_OF_METHOD}
