"""A project file: the supply, the protection and cable, and what is on offer."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field


# What a designer who writes nothing about it is taken to want; the report says so.
UNSTATED_WISHES = {
    "wanted_colour_control": False,
    "wanted_individual_control": False,
    "wanted_off_by_control": True,
}


class Offer(BaseModel):
    """The outputs a circuit without a named output may be put on; all when left out."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    outputs: list[str] | None = None


class Project(BaseModel):
    """Ids name entries of the tables.

    ``supply_traits`` overrides traits of the supply; ``circuit_defaults`` fills schedule columns
    left empty.
    """

    model_config = ConfigDict(extra="forbid", frozen=True)

    schema_: Literal["project/1"] = Field(default="project/1", alias="schema")
    name: str = ""
    invented: bool = False
    supply: str = "U0001"
    supply_traits: dict[str, Any] = {}
    breaker: str | None = None
    cable: str | None = None
    cable_length_m: Annotated[float | None, Field(ge=0, le=10000)] = None
    source_impedance: str | None = None
    offer: Offer = Offer()
    circuit_defaults: dict[str, Any] = {}
