"""A project file: the supply, the protection and cable, and what is on offer."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field

LineLabel = Annotated[str, Field(min_length=1, max_length=200)]


class Offer(BaseModel):
    """The outputs a circuit without a named output may be put on; all when left out."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)

    outputs: list[str] | None = None


Figure = (
    Annotated[float, Field(ge=0, le=1e9)]
    | tuple[Annotated[float, Field(ge=0, le=1e9)], Annotated[float, Field(ge=0, le=1e9)]]
)


class FromFaultCurrent(BaseModel):
    """The source by the prospective fault current between line and neutral at the board.

    ``reactance_ratio`` is X/R: near 0 at the end of a long circuit, above 1 beside a transformer.
    """

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)

    prospective_fault_current_a: Figure
    reactance_ratio: Figure = (0.0, 1.0)


class FromTransformer(BaseModel):
    """The source by the transformer and the cable from it to the board; ``cable`` names its type."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)

    transformer_rated_power_va: Annotated[float, Field(gt=0)]
    transformer_voltage_v: Annotated[float, Field(gt=0)]
    transformer_short_circuit_percent: Figure
    transformer_load_loss_w: Figure
    cable: str | None = None
    cable_length_m: Figure | None = None


class Project(BaseModel):
    """Ids name entries of the tables.

    ``supply_traits`` overrides traits of the supply, and so on for breaker, cable and source
    impedance; ``source`` computes the impedance from what is known of it. ``circuit_defaults`` fills
    schedule columns left empty and ``driver_defaults`` what neither the row nor its driver states.
    ``lines`` states traits of control lines by the label that the schedule gives them;
    ``line_defaults`` fills what a line leaves out. What a project leaves out comes from the
    dataset's ``defaults.toml``. ``only_standard_figures`` judges the breaker by its standard alone,
    without our estimate for short pulses.
    """

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)

    schema_: Literal["project/1"] = Field(default="project/1", alias="schema")
    name: str = ""
    invented: bool = False
    supply: str | None = None
    supply_traits: dict[str, Any] = {}
    breaker: str | None = None
    cable: str | None = None
    cable_length_m: Annotated[float | None, Field(ge=0, le=10000)] = None
    source_impedance: str | None = None
    source: FromFaultCurrent | FromTransformer | None = None
    breaker_traits: dict[str, Any] = {}
    cable_traits: dict[str, Any] = {}
    source_impedance_traits: dict[str, Any] = {}
    inrush_test_source: str | None = None
    only_standard_figures: bool = False
    offer: Offer = Offer()
    circuit_defaults: dict[str, Any] = {}
    driver_defaults: dict[str, Any] = {}
    lines: dict[LineLabel, dict[str, Any]] = {}
    line_defaults: dict[str, Any] = {}
