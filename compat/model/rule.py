"""A rule file and its cases, as data. What the expressions mean is the rulebook's affair."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Annotated, Any, Literal

from compat.model.equipment import SLUG
from compat.model.record import NONE_LISTED, NONE_NAMED, Limits, Record
from compat.model.values import WrittenBasis
from compat.model.verdicts import Verdict

Scope = Literal["luminaire", "pairing", "bus", "supply", "module", "system"]
Status = Literal["preview", "stable", "retiring", "withdrawn"]
Breach = Literal["marginal", "fails", "hazard"]
Supports = Literal["applies", "demand", "at_most", "at_least", "requires"]
Sentence = Annotated[str, Limits(min_length=1, max_length=600)]


@dataclass(frozen=True, slots=True, kw_only=True)
class Citation(Record):
    """Which source supports which part of the rule, and how sure that is."""

    source: Annotated[str, Limits(pattern=r"^S[0-9]{4}$")]
    edition: str = ""
    locator: str = ""
    supports: Annotated[list[Supports], Limits(min_length=1)]
    basis: WrittenBasis


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule(Record):
    """One sentence of the trade that can be computed: exactly one of the three tests is given."""

    schema_: Literal["rule/1"] = field(metadata={"alias": "schema"})
    id: Annotated[str, Limits(pattern=r"^R[0-9]{4}$")]
    slug: Annotated[str, Limits(pattern=SLUG, max_length=60)]
    title: Sentence
    question: Sentence
    scope: Scope
    applies: Annotated[str, Limits(max_length=1000)] = "always"
    demand: Annotated[str, Limits(max_length=1000)] = ""
    at_most: Annotated[str, Limits(max_length=1000)] = ""
    at_least: Annotated[str, Limits(max_length=1000)] = ""
    requires: Annotated[str, Limits(max_length=1000)] = ""
    breach: Breach
    precedence: Annotated[int, Limits(ge=0, le=999)] = field(
        default=500,
        metadata={
            "description": "Of rules with the same verdict the one with the lowest number is told first.",
        },
    )
    status: Status = "stable"
    since: str = ""
    withdrawn_because: str = ""
    superseded_by: list[Annotated[str, Limits(pattern=r"^R[0-9]{4}$")]] = field(
        default_factory=list, metadata=NONE_LISTED
    )
    because: Sentence
    because_by: dict[Literal["missing", "in_part"], Sentence] = field(
        default_factory=dict,
        metadata=NONE_NAMED
        | {"description": "Sentences of their own for a value that is missing, and for what is so in part."},
    )
    remedies: Annotated[list[Sentence], Limits(min_length=1)]
    ask_for: dict[str, Sentence] = field(default_factory=dict, metadata=NONE_NAMED)
    caution: str = ""
    note: str = ""
    sources: Annotated[list[Citation], Limits(min_length=1)]


@dataclass(frozen=True, slots=True, kw_only=True)
class Case(Record):
    """Inputs and the verdict a rule must give on them.

    ``given`` maps names such as ``circuit.input_power_w`` to a number, two numbers, a word,
    words, true or false, ``{sure = [...], possible = [...]}``, or ``"unknown"``.
    ``expect`` is a verdict, or ``does_not_apply``.
    """

    name: Sentence
    kind: Literal["holds", "breaks", "at_limit", "past_limit", "missing", "not_applicable", "straddles"]
    given: dict[str, Any]
    expect: Verdict | Literal["does_not_apply"]
    from_source: str = ""
    known_gap: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cases(Record):
    """The cases file beside a rule."""

    schema_: Literal["cases/1"] = field(metadata={"alias": "schema"})
    rule: Annotated[str, Limits(pattern=r"^R[0-9]{4}$")]
    case: Annotated[list[Case], Limits(min_length=1)]
