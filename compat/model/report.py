"""What a check gives back. The published schema ``report.schema.json`` is made from these models."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from compat.model.record import NONE_LISTED, NONE_NAMED, Record, check_finite
from compat.model.values import Basis, WrittenBasis
from compat.model.verdicts import Verdict


@dataclass(frozen=True, slots=True, kw_only=True)
class Place(Record):
    """Where a value was written."""

    file: str
    sheet: str | None = None
    cell: str | None = None
    line: int | None = None
    key: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Amount(Record):
    """An interval in a unit; both ends None when it is not known."""

    low: float | None
    high: float | None
    unit: str = field(
        metadata={
            "description": "Unit name of the vocabulary, such as w, ma or percent.",
        }
    )
    text: str = field(
        metadata={
            "description": "The interval as people read it, such as '38 to 42 W'.",
        }
    )

    def __post_init__(self) -> None:
        """Refuses ends that are not finite."""
        check_finite(self.low, self.high)


@dataclass(frozen=True, slots=True, kw_only=True)
class Input(Record):
    """One value that a finding rests on."""

    name: str
    label: str
    text: str = field(metadata={"description": "The value as people read it, or 'not known'."})
    basis: Basis | None = None
    source: str | None = None
    place: Place | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SourceNote(Record):
    """A source of a rule or a value: what it is and which part is used."""

    source: str
    title: str
    edition: str = ""
    locator: str = ""
    basis: WrittenBasis
    supports: list[str] = field(default_factory=list, metadata=NONE_LISTED)


@dataclass(frozen=True, slots=True, kw_only=True)
class Question(Record):
    """What to ask, because the answer could change the verdict."""

    name: str
    label: str
    ask: str
    about: list[str] = field(
        metadata={
            "description": "The luminaire types or the output it is asked about.",
        }
    )
    where_to_find: str
    rules: list[str]
    could_become: Verdict = field(
        metadata={
            "description": "The worst verdict the answer could lead to.",
        }
    )
    decides: str = field(
        default="", metadata={"description": "Up to which answer, or from which on, the rules hold."}
    )
    decisive: bool = field(
        default=True,
        metadata={"description": "Whether usual values leave the answer open or close: what to ask first."},
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Enquiry(Record):
    """Everything to ask about one thing, over the whole schedule.

    ``settled`` are the circuits for which nothing is left open once this enquiry and all before it are
    answered; ``decided`` those for which this holds of the questions that are decisive. ``first`` are the
    circuits that wait for one of these.
    """

    scope: Literal["installation", "luminaire", "output"]
    about: str
    circuits: list[str]
    settled: list[str]
    questions: list[Question]
    first: list[str] = field(default_factory=list, metadata=NONE_LISTED)
    decided: list[str] = field(default_factory=list, metadata=NONE_LISTED)


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding(Record):
    """One rule on one circuit and output."""

    rule: str
    slug: str
    title: str
    verdict: Verdict
    because: str
    demand: Amount | None = None
    relation: Literal["at_most", "at_least"] | None = None
    limit: Amount | None = None
    margin_percent: float | None = field(
        default=None,
        metadata={
            "description": "Distance to the limit at the worse end, in % of the limit; < 0 is over.",
        },
    )
    inputs: list[Input] = field(default_factory=list, metadata=NONE_LISTED)
    sources: list[SourceNote] = field(default_factory=list, metadata=NONE_LISTED)
    remedies: list[str] = field(default_factory=list, metadata=NONE_LISTED)
    caution: str = ""
    decisive: bool = field(
        default=False,
        metadata={"description": "Unproven, and usual values leave it open or let it hold only just."},
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Luminaires(Record):
    """One row of the schedule as it stands in a circuit."""

    luminaire_type: str
    quantity: int
    driver: str | None
    driver_name: str
    place: Place | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadBar(Record):
    """The load of a circuit against the window of its output, in watts."""

    load: Amount
    window_low_w: float | None
    window_high_w: float | None

    def __post_init__(self) -> None:
        """Refuses ends that are not finite."""
        check_finite(self.window_low_w, self.window_high_w)


@dataclass(frozen=True, slots=True, kw_only=True)
class Expected(Record):
    """What an unproven verdict would be with usual values in place of the missing ones; never a proof."""

    verdict: Verdict
    rule: str | None = None
    slug: str | None = None
    because: str = ""
    remedy: str = ""
    usual: list[Input] = field(
        default_factory=list,
        metadata=NONE_LISTED | {"description": "The usual values that stand for the missing ones."},
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Change(Record):
    """One change to a circuit, judged: what it does to the verdict."""

    kind: Literal["output", "split", "count", "switch_only", "state"]
    text: str
    verdict: Verdict
    expected: Verdict | None = None
    output: str | None = None
    parts: list[int] = field(
        default_factory=list, metadata=NONE_LISTED | {"description": "Luminaires in each part of a split."}
    )
    states: dict[str, bool] = field(
        default_factory=dict,
        metadata=NONE_NAMED | {"description": "Columns of the schedule that say otherwise after it."},
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Need(Record):
    """One property that an output for the circuit must have, whatever its maker."""

    label: str
    text: str
    rule: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OutputReport(Record):
    """One output for a circuit: the verdict and the rule that decided."""

    output: str
    name: str
    method: str
    verdict: Verdict
    expected: Verdict | None = None
    rule: str | None = None
    slug: str | None = None
    because: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CircuitReport(Record):
    """One circuit: its verdict on its output, why, what to do and what to ask."""

    circuit: str
    room: str
    luminaires: list[Luminaires]
    wanted_control: str
    output: OutputReport | None
    chosen_by: Literal["schedule", "ranking", "none"]
    verdict: Verdict
    bar: LoadBar | None
    findings: list[Finding]
    remedies: list[str]
    questions: list[Question]
    cautions: list[str]
    other_outputs: list[OutputReport]
    expected: Expected | None = None
    changes: list[Change] = field(default_factory=list, metadata=NONE_LISTED)
    needs: list[Need] = field(default_factory=list, metadata=NONE_LISTED)


@dataclass(frozen=True, slots=True, kw_only=True)
class OutputKind(Record):
    """One of the fewest kinds of output that serve the schedule, and the circuits it would serve."""

    output: str
    name: str
    method: str
    circuits: list[str]
    needs: list[Need] = field(
        metadata={"description": "What an output must state to serve all of these circuits."}
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class LineLimit(Record):
    """How much of one limit of a line is used."""

    label: str
    rule: str
    relation: Literal["at_most", "at_least"]
    used: Amount
    limit: Amount
    share_percent: float | None = field(
        metadata={
            "description": "Used share of the limit at the worse ends, in %; above 100 it is broken. "
            "For a least "
            "value the share is the limit of what there is. None when it is not known.",
        }
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class LineReport(Record):
    """One control line: what its circuits use of each limit together, and what the rules say of it."""

    line: str
    kind: str = field(
        metadata={
            "description": "Analogue pair, DALI line, DMX line, or 'not known'.",
        }
    )
    circuits: list[str]
    proposed: bool = field(
        metadata={
            "description": "Whether the program put the circuits on the line.",
        }
    )
    verdict: Verdict
    findings: list[Finding]
    limits: list[LineLimit] = field(
        metadata={
            "description": "The limit that is used most comes first.",
        }
    )
    remedies: list[str]
    questions: list[Question]
    cautions: list[str]
    expected: Expected | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class DatasetStamp(Record):
    """Which dataset gave the verdicts."""

    version: str
    sha256: str
    rule_schema: str = "rule/1"


@dataclass(frozen=True, slots=True, kw_only=True)
class Report(Record):
    """The whole answer to ``compat check``."""

    report: Literal["report/1"] = "report/1"
    program_version: str
    dataset: DatasetStamp
    schedule: str
    schedule_sha256: str
    supply: list[Input]
    counts: dict[Verdict, int]
    circuits: list[CircuitReport]
    lines: list[LineReport] = field(default_factory=list, metadata=NONE_LISTED)
    notes: list[str]
    caution: str
    enquiries: list[Enquiry] = field(default_factory=list, metadata=NONE_LISTED)
    kinds: list[OutputKind] = field(default_factory=list, metadata=NONE_LISTED)
