"""A reference: a standard, a law, a textbook or a named practice."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Literal

from compat.model.record import Limits, Record

SourceKind = Literal[
    "standard",
    "law",
    "association",
    "report",
    "textbook",
    "course",
    "encyclopaedia",
    "article",
    "derivation",
    "practice",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Source(Record):
    """``read_as`` says what we read: the text itself, somebody's account of it, or nothing but memory."""

    id: Annotated[str, Limits(pattern=r"^S[0-9]{4}$")]
    short: Annotated[str, Limits(min_length=1, max_length=80)]
    title: Annotated[str, Limits(min_length=1)]
    edition: str = ""
    publisher: str = ""
    kind: SourceKind
    read_as: Literal["read", "second_hand", "memory", "own_work"]
    checked_on: str | None = None
    note: str = ""
