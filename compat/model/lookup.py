"""What a look-up of one driver gives back; ``lookup.schema.json`` is made from these models."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from compat.model.record import NONE_LISTED, Record
from compat.model.report import DatasetStamp, Input, Question
from compat.model.verdicts import Verdict

Binding = Literal["steady current", "inrush", "not known"]


@dataclass(frozen=True, slots=True, kw_only=True)
class CountRange(Record):
    """Consecutive counts with one verdict and one deciding rule."""

    first: int
    last: int
    verdict: Verdict
    rule: str | None = None
    slug: str | None = None
    because: str = field(
        default="",
        metadata={
            "description": "The sentence of the deciding rule at the first count.",
        },
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Bound(Record):
    """What stops the count at one end: the rule that decides one step outside."""

    count: int = field(
        metadata={
            "description": "The count one step outside, at which the rule decides.",
        }
    )
    verdict: Verdict
    rule: str
    slug: str
    because: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CountPicture(Record):
    """How many of the driver one output takes: the whole picture from 1 to the limit looked at."""

    best: Verdict = field(metadata={"description": "The best verdict over all counts."})
    least: int | None = field(
        metadata={
            "description": "Least count with the verdict works, else None.",
        }
    )
    most: int | None = field(
        metadata={
            "description": "Greatest count with the verdict works, else None.",
        }
    )
    gaps: bool = field(
        metadata={
            "description": "Whether some count between least and most does not work.",
        }
    )
    open_ended: bool = field(
        metadata={
            "description": "Whether the greatest count looked at still works.",
        }
    )
    least_bound: Bound | None = None
    most_bound: Bound | None = None
    ranges: list[CountRange]
    at_count: CountRange | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class OutputCounts(CountPicture):
    """The picture of one output by what is known; where that leaves counts unproven, also the one that is
    expected with usual values in place of missing ones, which is never a proof.
    """

    output: str
    name: str
    method: str
    expected: CountPicture | None = None

    @property
    def told(self) -> CountPicture:
        """The picture to tell first: the expected one where no count is shown to work."""
        return self.expected if self.expected is not None and self.least is None else self


@dataclass(frozen=True, slots=True, kw_only=True)
class BreakerCounts(Record):
    """How many of the driver one breaker carries, steady and at switching on."""

    breaker: str
    name: str
    curve: str
    rated_current_a: float
    steady_most: int | None
    inrush_holds_most: int | None = field(
        metadata={"description": "Greatest count up to which the breaker surely holds the inrush."}
    )
    inrush_likely_most: int | None = field(
        default=None, metadata={"description": "Greatest count up to which it likely holds the inrush."}
    )
    inrush_may_release_from: int | None = field(
        metadata={
            "description": "Least count for which it cannot be told, or that surely releases.",
        }
    )
    inrush_open_ended: bool = field(
        metadata={"description": "Whether the greatest count looked at still holds."}
    )
    most: int | None = field(
        metadata={"description": "None when not known, or when it is above the counts looked at."}
    )
    binding: Binding


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadCounts(Record):
    """How many of one driver an output takes: shown to work, or expected to where nothing is shown."""

    driver: str
    name: str
    load_type: str
    best: Verdict
    expected: Verdict | None = None
    least: int | None = None
    most: int | None = None
    open_ended: bool = False
    because: str = field(default="", metadata={"description": "What stops the count, or why none is taken."})


@dataclass(frozen=True, slots=True, kw_only=True)
class OutputLookup(Record):
    """The whole answer to ``compat lookup`` of an output."""

    output_lookup: Literal["output_lookup/1"] = "output_lookup/1"
    program_version: str
    dataset: DatasetStamp
    output: str
    output_name: str
    method: str
    traits: list[Input]
    counts_up_to: int
    loads: list[LoadCounts]
    assumptions: list[str]
    caution: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Lookup(Record):
    """The whole answer to ``compat lookup``."""

    lookup: Literal["lookup/1"] = "lookup/1"
    program_version: str
    dataset: DatasetStamp
    driver: str | None
    driver_name: str
    methods: list[str]
    traits: list[Input]
    count: int | None
    counts_up_to: int
    outputs: list[OutputCounts]
    breakers: list[BreakerCounts]
    source: list[Input]
    assumptions: list[str]
    questions: list[Question]
    cautions: list[str]
    caution: str
    arithmetic: list[str] = field(
        default_factory=list,
        metadata=NONE_LISTED
        | {"description": "What the figures come to: levels, fades, energy, heat, laws."},
    )
