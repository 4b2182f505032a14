"""Usual values: classes of gear and of installations with the ranges that are usual of them."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Annotated, Any, Literal

from compat.model.equipment import SLUG
from compat.model.record import NONE_LISTED, NONE_NAMED, Limits, Record
from compat.model.relation import Alternatives
from compat.model.values import WrittenBasis


@dataclass(frozen=True, slots=True, kw_only=True)
class UsualClass(Record):
    """What is usual of gear (``driver``), of an installation (``circuit``) or of a control line (``line``)
    to which ``applies`` applies.

    A figure is looked at in the middle of its range. ``words`` and ``unless_words`` are sought as those of
    relations. A class is asked where one of ``if_known`` is known, if it names any, and none of
    ``unless_known`` is. ``traits`` are written as in the tables of equipment; ``basis`` and ``source`` hold
    for each that states none. Classes are asked in the order of their ids; what an earlier one says stands.
    ``taken_as_so`` is told once for a report where the class fills a gap: what goes without saying, so that
    nobody is asked for it first. It proves nothing all the same.
    """

    id: Annotated[str, Limits(pattern=r"^K[0-9]{4}$")]
    slug: Annotated[str, Limits(pattern=SLUG, max_length=80)]
    name: Annotated[str, Limits(min_length=1, max_length=160)]
    subject: Literal["driver", "circuit", "line"] = "driver"
    applies: Annotated[str, Limits(max_length=1000)] = "always"
    words: list[Alternatives] = field(default_factory=list, metadata=NONE_LISTED)
    unless_words: list[str] = field(default_factory=list, metadata=NONE_LISTED)
    if_known: list[str] = field(default_factory=list, metadata=NONE_LISTED)
    unless_known: list[str] = field(default_factory=list, metadata=NONE_LISTED)
    basis: WrittenBasis = "common_practice"
    source: str | None = None
    checked_on: str | None = None
    note: str = ""
    taken_as_so: Annotated[str, Limits(max_length=160)] = ""
    traits: dict[str, Any] = field(default_factory=dict, metadata=NONE_NAMED)


@dataclass(frozen=True, slots=True, kw_only=True)
class UsualSupply(Record):
    """The supply that is usual in some countries, by their codes of ISO 3166-1 in small letters.

    ``others`` are further supplies for lighting that are found there beside it.
    """

    countries: Annotated[list[Annotated[str, Limits(pattern=r"^[a-z]{2}$")]], Limits(min_length=1)]
    supply: str
    source_impedance: str
    breaker: str | None = None
    cable: str | None = None
    others: list[str] = field(default_factory=list, metadata=NONE_LISTED)
    basis: WrittenBasis = "common_practice"
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class UsualFile(Record):
    """A file of ``datasets/usual/``."""

    schema_: Literal["usual/1"] = field(metadata={"alias": "schema"})
    class_: list[UsualClass] = field(default_factory=list, metadata={"alias": "class", **NONE_LISTED})
    supply: list[UsualSupply] = field(default_factory=list, metadata=NONE_LISTED)
