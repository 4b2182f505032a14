"""A project file: the supply, the protection and cable, and what is on offer."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Annotated, Any, Literal

from compat.model.needs import Needs
from compat.model.record import NONE_LISTED, NONE_NAMED, Limits, Record

LineLabel = Annotated[str, Limits(min_length=1, max_length=200)]


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer(Record):
    """The outputs a circuit without a named output may be put on; all when left out."""

    outputs: list[str] | None = None


Figure = (
    Annotated[float, Limits(ge=0, le=1e9)]
    | tuple[Annotated[float, Limits(ge=0, le=1e9)], Annotated[float, Limits(ge=0, le=1e9)]]
)


@dataclass(frozen=True, slots=True, kw_only=True)
class FromFaultCurrent(Record):
    """The source by the prospective fault current between line and neutral at the board.

    ``reactance_ratio`` is X/R: near 0 at the end of a long circuit, above 1 beside a transformer.
    """

    prospective_fault_current_a: Figure
    reactance_ratio: Figure = (0.0, 4.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class FromTransformer(Record):
    """The source by the transformer and the cable from it to the board; ``cable`` names its type."""

    transformer_rated_power_va: Annotated[float, Limits(gt=0)]
    transformer_voltage_v: Annotated[float, Limits(gt=0)]
    transformer_short_circuit_percent: Figure
    transformer_load_loss_w: Figure
    cable: str | None = None
    cable_length_m: Figure | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class UsualState(Record):
    """What the usual installation is in one column of a schedule, or of a line (``line.``), and its words."""

    trait: str
    value: bool | float | str
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Project(Record):
    """Ids name entries of the tables.

    ``supply_traits`` overrides traits of the supply, and so on for breaker, cable and source
    impedance; ``source`` computes the impedance from what is known of it. ``circuit_defaults`` fills
    schedule columns left empty and ``driver_defaults`` what neither the row nor its driver states.
    ``lines`` states traits of control lines by the label that the schedule gives them;
    ``line_defaults`` fills what a line leaves out. What a project leaves out comes from the
    dataset's ``defaults.toml``. ``only_standard_figures`` judges the breaker by its standard alone,
    without our estimate for short pulses. ``jurisdiction`` asks for the rules of one place beside those
    that hold everywhere; the traits of the supply, not this, say which wiring rules set its limits.
    ``usual_installation`` takes the installation to be as ``usual_installation_is`` of the dataset's
    defaults tells, which holds as well where there is no project file. ``needs`` says what a plan is to
    hold beside the circuits.
    """

    schema_: Literal["project/1"] = field(default="project/1", metadata={"alias": "schema"})
    name: str = ""
    invented: bool = False
    supply: str | None = None
    jurisdiction: Literal["none", "eu", "uk", "us", "us-ca"] = "none"
    supply_traits: dict[str, Any] = field(default_factory=dict, metadata=NONE_NAMED)
    breaker: str | None = None
    cable: str | None = None
    cable_length_m: Annotated[float | None, Limits(ge=0, le=10000)] = None
    source_impedance: str | None = None
    source: FromFaultCurrent | FromTransformer | None = None
    breaker_traits: dict[str, Any] = field(default_factory=dict, metadata=NONE_NAMED)
    cable_traits: dict[str, Any] = field(default_factory=dict, metadata=NONE_NAMED)
    source_impedance_traits: dict[str, Any] = field(default_factory=dict, metadata=NONE_NAMED)
    inrush_test_source: str | None = None
    only_standard_figures: bool = False
    offer: Offer = field(
        default_factory=Offer, metadata={"json_schema_extra": {"default": {"outputs": None}}}
    )
    usual_installation: bool = False
    usual_installation_is: list[UsualState] = field(default_factory=list, metadata=NONE_LISTED)
    circuit_defaults: dict[str, Any] = field(default_factory=dict, metadata=NONE_NAMED)
    driver_defaults: dict[str, Any] = field(default_factory=dict, metadata=NONE_NAMED)
    lines: dict[LineLabel, dict[str, Any]] = field(default_factory=dict, metadata=NONE_NAMED)
    line_defaults: dict[str, Any] = field(default_factory=dict, metadata=NONE_NAMED)
    needs: Needs | None = None
