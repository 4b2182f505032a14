"""A kind of control system as data: what it is made of, what one can hold and what it can do."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Annotated, Any, Literal

from compat.model.equipment import ENTRY_ID, SLUG
from compat.model.record import NONE_NAMED, Limits, Record
from compat.model.values import WrittenBasis

Figure = Annotated[float, Limits(ge=0, le=1e6)]


@dataclass(frozen=True, slots=True, kw_only=True)
class ModuleKind(Record):
    """A module: so many outputs, each of which can be any of ``outputs`` (ids of the table of outputs).

    ``most_load_w`` and ``most_current_a`` hold for the whole module. ``rail_units`` are of 18 mm, 0 off the
    rail. Its heat is ``idle_w`` and ``loss_w_per_a`` for each ampere that it carries.
    """

    id: Annotated[str, Limits(pattern=ENTRY_ID)]
    name: Annotated[str, Limits(min_length=1, max_length=120)]
    outputs: Annotated[list[str], Limits(min_length=1)]
    output_count: Annotated[int, Limits(ge=1, le=96)] = 1
    most_load_w: Figure | None = None
    most_current_a: Figure | None = None
    rail_units: Figure = 0
    idle_w: Figure = 0
    loss_w_per_a: Figure = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class SystemFile(Record):
    """One kind of system, a file of ``datasets/systems/`` or the user's own.

    ``scale`` orders kinds that hold a house equally well: 1 is the least there is to buy, plan and program.
    ``panel_rail_units`` is the size of a panel where the needs name no place, ``hub_rail_units`` what each
    hub takes. ``basis`` holds for every figure that states none.
    """

    schema_: Literal["system/1"] = field(metadata={"alias": "schema"})
    id: Annotated[str, Limits(pattern=ENTRY_ID)]
    slug: Annotated[str, Limits(pattern=SLUG, max_length=80)]
    name: Annotated[str, Limits(min_length=1, max_length=120)]
    scale: Annotated[int, Limits(ge=1, le=9)]
    basis: WrittenBasis = "declared"
    source: str | None = None
    summary: Annotated[str, Limits(min_length=1, max_length=400)]
    later_changes: Annotated[str, Limits(min_length=1, max_length=400)]
    panel_rail_units: Figure = 0
    hub_rail_units: Figure = 0
    traits: dict[str, Any] = field(default_factory=dict, metadata=NONE_NAMED)
    modules: Annotated[list[ModuleKind], Limits(min_length=1)]
