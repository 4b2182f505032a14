"""Circuits made from schedule rows: each trait gathered over its rows, with where it came from."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

from compat.dataset.read import Dataset, Equipment
from compat.engine.computed import compute
from compat.engine.joining import joined_values
from compat.engine.members import Member, member_of
from compat.engine.site import Site
from compat.model.schedule import Schedule, ScheduleRow
from compat.model.values import UNKNOWN, Content, Trait

__all__ = ["Circuit", "Member", "by_label", "gather_circuits", "gather_rows", "label_of"]


@dataclass(frozen=True, slots=True)
class Circuit:
    """Luminaires controlled together. ``values`` holds contents by full trait name."""

    id: str
    room: str
    members: tuple[Member, ...]
    output_id: str | None
    values: dict[str, Content] = field(default_factory=dict)
    column_traits: dict[str, Trait] = field(default_factory=dict)


def gather_circuits(
    schedule: Schedule,
    dataset: Dataset,
    supply: Equipment,
    defaults: Mapping[str, Trait],
    site: Site | None = None,
) -> list[Circuit]:
    """The circuits of a schedule, in the order of their first rows.

    ``defaults`` are column traits for cells left empty. A trait that one row does not know is
    unknown for the circuit. The computed traits need a ``site``.
    """
    rows: dict[str, list[ScheduleRow]] = {}
    for row in schedule.rows:
        rows.setdefault(row.circuit, []).append(row)
    site = site or Site(supply)
    return [gather_rows(name, members, dataset, site, defaults) for name, members in rows.items()]


def gather_rows(
    name: str, rows: Sequence[ScheduleRow], dataset: Dataset, site: Site, defaults: Mapping[str, Trait]
) -> Circuit:
    """The rows taken as one circuit, whatever circuit they name."""
    voltage = site.supply.traits.get("voltage_v", UNKNOWN).content
    members = tuple(member_of(row, dataset, voltage, site.driver_defaults) for row in rows)
    values = joined_values("circuit", members, dataset.vocabulary)
    columns: dict[str, Trait] = {}
    for definition in dataset.vocabulary.of_subject("circuit"):
        if definition.gather == "column":
            stated = [
                row.circuit_traits[definition.name] for row in rows if definition.name in row.circuit_traits
            ]
            columns[definition.name] = stated[0] if stated else defaults.get(definition.name, UNKNOWN)
            values[definition.full_name] = columns[definition.name].content
    room = next((row.room for row in rows if row.room), "")
    output_id = next((row.output_id for row in rows if row.output_id), None)
    circuit = Circuit(name, room, members, output_id, values, columns)
    values.update(compute(circuit, site))
    return circuit


def label_of(circuit: Circuit, column: Literal["breaker", "line"]) -> str | None:
    """The label that the rows of a circuit give in a column, None when they give none."""
    labels = (member.row.breaker if column == "breaker" else member.row.line for member in circuit.members)
    return next((label for label in labels if label), None)


def by_label(circuits: Iterable[Circuit], column: Literal["breaker", "line"]) -> dict[str, list[Circuit]]:
    """The circuits that share a label, in the order of the schedule; those without one are left out."""
    groups: dict[str, list[Circuit]] = {}
    for circuit in circuits:
        label = label_of(circuit, column)
        if label is not None:
            groups.setdefault(label, []).append(circuit)
    return groups
