"""A plan: which kind of system holds the house, what is built of it, and where each circuit goes.

The published schema ``plan.schema.json`` is made from these. Figures are amounts with both ends and
their text, as in a report; a figure that is not known has no ends. Nothing here is made twice: the
papers of a plan are written from this record and the report of the same schedule.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Annotated, Literal

from compat.model.needs import Needs
from compat.model.record import NONE_LISTED, Limits, Record
from compat.model.report import Amount, DatasetStamp, Place
from compat.model.verdicts import Verdict

SHORT_ADDRESSES, GROUPS = 64, 16  # of a DALI line; IEC 62386-102, second hand
Head = Literal["size", "installation", "loads", "control points", "programming"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Part(Record):
    """One addend of a count, such as 34 wall controls among the devices."""

    label: str
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class FitFinding(Record):
    """One rule of fit on one kind: its sentence, and the number behind it.

    ``spare`` is how much more it holds, where the rule has a limit. ``parts`` add up to the demand where it
    is a count of several sorts.
    """

    rule: str
    slug: str
    head: Head
    verdict: Verdict
    because: str
    label: str = ""
    demand: Amount | None = None
    relation: Literal["at_most", "at_least"] | None = None
    limit: Amount | None = None
    spare: float | None = None
    parts: list[Part] = field(default_factory=list, metadata=NONE_LISTED)
    changes: list[str] = field(default_factory=list, metadata=NONE_LISTED)
    questions: list[str] = field(default_factory=list, metadata=NONE_LISTED)


@dataclass(frozen=True, slots=True, kw_only=True)
class HeadFit(Record):
    """How a kind holds the house on one head; ``binding`` is the rule that decides, or that is nearest."""

    head: Head
    verdict: Verdict
    binding: FitFinding | None
    findings: list[FitFinding]


@dataclass(frozen=True, slots=True, kw_only=True)
class SystemFit(Record):
    """One kind of system held against the house.

    ``holds`` is ``open`` where an answer that is missing decides. ``cost`` is there only where the user gave
    a price for every part. ``tips_over`` says how far the house may grow, nearest limit first. ``scale``
    orders kinds by how much there is to buy, plan and program, 1 the least.
    """

    system: str
    name: str
    rank: int
    holds: Literal["yes", "no", "open"]
    heads: list[HeadFit]
    circuits_placed: int
    circuits_left_out: list[str]
    modules: int
    devices: int
    lost: list[str]
    changes: list[str]
    tips_over: list[str]
    cost: float | None = None
    scale: int = 1
    summary: str = ""
    later_changes: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanQuestion(Record):
    """A need that is not known and could move the ranking; ``kinds`` are those it decides on."""

    ask: str
    kinds: list[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class CircuitPlace(Record):
    """One circuit on one output. ``assumes`` says what is usual and not proven where it is expected only.

    ``output`` is the kind of output of the dataset, ``output_number`` the one of the module, from 1. A
    circuit on a control line shares that output with the other circuits of its ``line``. ``points`` are its
    drivers; ``protective_device`` and ``rcd`` are the labels that the schedule gives, the first with the
    device of the project.
    """

    circuit: str
    room: str
    luminaires: list[str]
    output: str
    output_name: str
    method: str
    module: str
    output_number: int
    panel: str
    phase: str
    line: str
    verdict: Verdict
    expected: Verdict | None
    assumes: list[str]
    load: Amount
    current: Amount
    window_low_w: float | None = None
    window_high_w: float | None = None
    points: int = 0
    protective_device: str = ""
    rcd: str = ""
    place: Place | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ModuleUse(Record):
    """One module: what it is, where it stands and what it carries. ``rail_units`` are of 18 mm."""

    module: str
    kind: str
    name: str
    panel: str
    phase: str
    rail_units: float
    outputs: int
    used: int
    load: Amount
    current: Amount
    heat: Amount
    most_load_w: float | None = None
    most_current_a: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PanelUse(Record):
    """One panel or place of modules; ``rail_units_free`` is None where its size is not stated."""

    panel: str
    rooms: list[str]
    modules: list[str]
    rail_units: float
    rail_units_free: float | None
    heat: Amount


@dataclass(frozen=True, slots=True, kw_only=True)
class PhaseUse(Record):
    """What one phase carries at full load, by arithmetic sum of currents."""

    phase: str
    modules: list[str]
    current: Amount


@dataclass(frozen=True, slots=True, kw_only=True)
class LineUse(Record):
    """A control line of the plan. ``proposed`` where the schedule names none.

    ``used`` counts short addresses of a DALI line and universes of a DMX line.
    """

    line: str
    kind: str
    output: str
    modules: list[str]
    circuits: list[str]
    proposed: bool
    used: int
    verdict: Verdict | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class NotPlanned(Record):
    """Luminaires that have no place in the plan, and why; ``line`` is empty where none is meant."""

    line: str
    circuit: str
    room: str
    luminaire_type: str
    quantity: int
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DmxPlace(Record):
    """One luminaire on a DMX line; its last slot is ``start_address + footprint - 1``."""

    line: str
    universe: Annotated[int, Limits(ge=1)] = field(metadata={"description": "Numbered from 1 on each line."})
    start_address: Annotated[int, Limits(ge=1, le=512)]
    end_address: Annotated[int, Limits(ge=1, le=512)]
    footprint: Annotated[int, Limits(ge=1, le=512)] = field(
        metadata={"description": "Slots of the luminaire."}
    )
    circuit: str
    room: str
    luminaire_type: str
    number: Annotated[int, Limits(ge=1)] = field(
        metadata={"description": "Which of its kind on the circuit."}
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class DmxPatch(Record):
    """Where each DMX luminaire of a schedule listens."""

    dmx_patch: Literal["dmx_patch/1"] = "dmx_patch/1"
    program_version: str
    dataset: DatasetStamp
    schedule: str
    schedule_sha256: str
    places: list[DmxPlace]
    universes: dict[str, int] = field(metadata={"description": "Universes used by each line."})
    not_planned: list[NotPlanned]
    notes: list[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class DaliPlace(Record):
    """One logical unit on a DALI line."""

    line: str
    short_address: Annotated[int, Limits(ge=0, le=SHORT_ADDRESSES - 1)]
    group: Annotated[int | None, Limits(ge=0, le=GROUPS - 1)] = field(
        metadata={
            "description": "One for each circuit, and for each channel of its luminaires that have an "
            "address for each colour; None when all are used.",
        }
    )
    circuit: str
    room: str
    luminaire_type: str
    number: Annotated[int, Limits(ge=1)] = field(
        metadata={"description": "Which of its kind on the circuit."}
    )
    unit: Annotated[int, Limits(ge=1)] = field(metadata={"description": "Which logical unit of the driver."})


@dataclass(frozen=True, slots=True, kw_only=True)
class DaliAddresses(Record):
    """Which short address each control gear of a schedule gets, and which group."""

    dali_addresses: Literal["dali_addresses/1"] = "dali_addresses/1"
    program_version: str
    dataset: DatasetStamp
    schedule: str
    schedule_sha256: str
    places: list[DaliPlace]
    used: dict[str, int] = field(metadata={"description": "Short addresses used on each line."})
    not_planned: list[NotPlanned]
    notes: list[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class CableRun(Record):
    """One cable by its identifier; what is not stated is empty, and its length None.

    ``segregation``: ``mains``, ``control, insulated for mains`` or ``extra-low voltage``.
    """

    cable: str
    from_place: str
    to_place: str
    carries: str
    cores: int | None
    cross_section_mm2: float | None
    length_m: float | None
    segregation: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOut(Record):
    """A circuit that no output of the kind holds, with the best that was found for it."""

    circuit: str
    room: str
    luminaires: list[str]
    reason: str
    verdict: Verdict
    any_kind: bool = field(
        metadata={"description": "Whether an output of another kind would hold it."},
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan(Record):
    """All of a plan: kinds by rank, and for the chosen one what is built and where each circuit goes.

    ``system`` is the kind that the rest is planned with: the one named, else the first by rank.
    ``modules_at_least`` is a proven bound for these outputs. Wall controls, scenes, clocks and the like stand
    in ``needs`` as the designer gave them.
    """

    plan: Literal["plan/1"] = "plan/1"
    program_version: str
    dataset: DatasetStamp
    schedule: str
    schedule_sha256: str
    needs: Needs
    fits: list[SystemFit]
    questions: list[PlanQuestion]
    system: str
    system_name: str
    circuits: list[CircuitPlace]
    modules: list[ModuleUse]
    modules_at_least: int
    panels: list[PanelUse]
    phases: list[PhaseUse]
    lines: list[LineUse]
    dali: list[DaliPlace]
    dmx: list[DmxPlace]
    cables: list[CableRun]
    left_out: list[LeftOut]
    not_planned: list[NotPlanned]
    cautions: list[str]
    notes: list[str]
