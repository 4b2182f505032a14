"""A relation between traits: what holds for every real piece of gear, as data."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Annotated, Any, Literal

from compat.model.equipment import SLUG
from compat.model.record import NONE_LISTED, Limits, Record
from compat.model.rule import Sentence
from compat.model.values import WrittenBasis

Jurisdiction = Annotated[str, Limits(pattern=r"^[a-z]{2}(-[a-z]{2})?$")]
Alternatives = Annotated[list[Annotated[str, Limits(min_length=1, max_length=60)]], Limits(min_length=1)]


@dataclass(frozen=True, slots=True, kw_only=True)
class RelationSource(Record):
    """Which source the relation comes from, and how sure that is."""

    source: Annotated[str, Limits(pattern=r"^S[0-9]{4}$")]
    edition: str = ""
    locator: str = ""
    basis: WrittenBasis


@dataclass(frozen=True, slots=True, kw_only=True)
class RelationCase(Record):
    """Values given, and what follows from them.

    ``given`` and ``follows`` map names to values as the cases of rules do; ``"unknown"`` in ``follows``
    says that nothing follows. ``contradicts`` says that the given values cannot all be true.
    """

    name: Sentence
    given: dict[str, Any]
    text: str = ""
    follows: dict[str, Any] = field(default_factory=dict)
    contradicts: bool = False
    from_source: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Relation(Record):
    """``holds`` is true of every real piece of gear to which ``applies`` applies.

    ``unless`` names what makes the relation void; where that is not known it is taken not to be so.
    ``words`` are sought in what people call the luminaire: one of each list must be there and none of
    ``unless_words``. ``jurisdictions`` are those whose law it is; it holds everywhere when there are none.
    ``from_zero`` says that an upper limit alone makes a value known, from nought on. ``presumed`` is what a
    law or a standard asks: gear that states otherwise is taken at its word, and nothing is told.
    """

    schema_: Literal["relation/1"] = field(metadata={"alias": "schema"})
    id: Annotated[str, Limits(pattern=r"^F[0-9]{4}$")]
    slug: Annotated[str, Limits(pattern=SLUG, max_length=60)]
    title: Sentence
    applies: Annotated[str, Limits(max_length=1000)] = "always"
    unless: Annotated[str, Limits(max_length=1000)] = "false"
    words: list[Alternatives] = field(default_factory=list, metadata=NONE_LISTED)
    unless_words: list[str] = field(default_factory=list, metadata=NONE_LISTED)
    holds: Annotated[str, Limits(min_length=1, max_length=1000)]
    from_zero: bool = False
    presumed: bool = False
    jurisdictions: list[Jurisdiction] = field(default_factory=list, metadata=NONE_LISTED)
    note: str = ""
    sources: Annotated[list[RelationSource], Limits(min_length=1)]
    case: Annotated[list[RelationCase], Limits(min_length=2)]
