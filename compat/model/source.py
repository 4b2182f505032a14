"""A reference: a standard, a law, a textbook or a named practice."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

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


class Source(BaseModel):
    """``read_as`` says what we read: the text itself, somebody's account of it, or nothing but memory."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)

    id: Annotated[str, Field(pattern=r"^S[0-9]{4}$")]
    short: Annotated[str, Field(min_length=1, max_length=80)]
    title: Annotated[str, Field(min_length=1)]
    edition: str = ""
    publisher: str = ""
    kind: SourceKind
    read_as: Literal["read", "second_hand", "memory", "own_work"]
    checked_on: str | None = None
    note: str = ""
