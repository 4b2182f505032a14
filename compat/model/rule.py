"""A rule file and its cases, as data. What the expressions mean is the rulebook's affair."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field

from compat.model.equipment import SLUG
from compat.model.values import Basis
from compat.model.verdicts import Verdict

Scope = Literal["luminaire", "pairing", "bus", "supply", "module", "system"]
Status = Literal["preview", "stable", "retiring", "withdrawn"]
Breach = Literal["marginal", "fails", "hazard"]
Supports = Literal["applies", "demand", "at_most", "at_least", "requires"]
Sentence = Annotated[str, Field(min_length=1, max_length=600)]


class Model(BaseModel):
    """A record without unknown fields."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)


class Citation(Model):
    """Which source supports which part of the rule, and how sure that is."""

    source: Annotated[str, Field(pattern=r"^S[0-9]{4}$")]
    edition: str = ""
    locator: str = ""
    supports: Annotated[list[Supports], Field(min_length=1)]
    basis: Basis


class Rule(Model):
    """One sentence of the trade that can be computed: exactly one of the three tests is given."""

    schema_: Literal["rule/1"] = Field(alias="schema")
    id: Annotated[str, Field(pattern=r"^R[0-9]{4}$")]
    slug: Annotated[str, Field(pattern=SLUG, max_length=60)]
    title: Sentence
    question: Sentence
    scope: Scope
    applies: Annotated[str, Field(max_length=1000)] = "always"
    demand: Annotated[str, Field(max_length=1000)] = ""
    at_most: Annotated[str, Field(max_length=1000)] = ""
    at_least: Annotated[str, Field(max_length=1000)] = ""
    requires: Annotated[str, Field(max_length=1000)] = ""
    breach: Breach
    precedence: Annotated[int, Field(ge=0, le=999)] = Field(
        500, description="Of rules with the same verdict the one with the lowest number is told first."
    )
    status: Status = "stable"
    since: str = ""
    withdrawn_because: str = ""
    superseded_by: list[Annotated[str, Field(pattern=r"^R[0-9]{4}$")]] = []
    because: Sentence
    remedies: Annotated[list[Sentence], Field(min_length=1)]
    ask_for: dict[str, Sentence] = {}
    caution: str = ""
    note: str = ""
    sources: Annotated[list[Citation], Field(min_length=1)]


class Case(Model):
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


class Cases(Model):
    """The cases file beside a rule."""

    schema_: Literal["cases/1"] = Field(alias="schema")
    rule: Annotated[str, Field(pattern=r"^R[0-9]{4}$")]
    case: Annotated[list[Case], Field(min_length=1)]
