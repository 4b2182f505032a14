"""A plan as a table that every format shares: headings, rows, what is left out, notes."""

from __future__ import annotations

from dataclasses import dataclass

from compat.model.plan import DaliAddresses, DmxPatch, NotPlanned, Plan

Cell = str | int
LEFT_OUT = ("Line", "Circuit", "Room", "Luminaire type", "Quantity", "Why it has no place")


@dataclass(frozen=True, slots=True)
class PlanTable:
    """One plan; ``summary`` says in a sentence for each line how much is used."""

    title: str
    schedule: str
    headings: tuple[str, ...]
    rows: list[tuple[Cell, ...]]
    summary: list[str]
    left_out: list[tuple[Cell, ...]]
    notes: list[str]
    stamp: str


def dmx_table(patch: DmxPatch) -> PlanTable:
    """A DMX patch as a table."""
    return PlanTable(
        title="DMX patch",
        schedule=patch.schedule,
        headings=(
            "Line", "Universe", "Start address", "End address", "Slots", "Circuit", "Room",
            "Luminaire type", "Number",
        ),
        rows=[
            (
                place.line, place.universe, place.start_address, place.end_address, place.footprint,
                place.circuit, place.room, place.luminaire_type, place.number,
            )
            for place in patch.places
        ],
        summary=[
            f"Line {line}: {count} universe{'' if count == 1 else 's'}"
            for line, count in patch.universes.items()
        ],
        left_out=_left_out(patch.not_planned),
        notes=patch.notes,
        stamp=stamp_of(patch),
    )  # fmt: skip


def dali_table(plan: DaliAddresses) -> PlanTable:
    """A DALI address plan as a table."""
    return PlanTable(
        title="DALI addresses",
        schedule=plan.schedule,
        headings=(
            "Line", "Short address", "Group", "Circuit", "Room", "Luminaire type", "Number", "Logical unit",
        ),
        rows=[
            (
                place.line, place.short_address, "" if place.group is None else place.group, place.circuit,
                place.room, place.luminaire_type, place.number, place.unit,
            )
            for place in plan.places
        ],
        summary=[f"Line {line}: {count} of 64 short addresses" for line, count in plan.used.items()],
        left_out=_left_out(plan.not_planned),
        notes=plan.notes,
        stamp=stamp_of(plan),
    )  # fmt: skip


def stamp_of(plan: DmxPatch | DaliAddresses | Plan) -> str:
    """What made a plan, for its foot."""
    dataset = plan.dataset
    version = f"dataset {dataset.version} ({dataset.rule_schema})"
    return f"compat {plan.program_version}, {version}, sha256 {dataset.sha256}"


def _left_out(entries: list[NotPlanned]) -> list[tuple[Cell, ...]]:
    return [(e.line, e.circuit, e.room, e.luminaire_type, e.quantity, e.reason) for e in entries]
