"""How a schedule was understood: which heading names what, what was left out, what could not be read."""

from __future__ import annotations

from dataclasses import dataclass

from compat.model.values import Origin

# Begins the note that the watts or the methods of many rows are lost, which a report tells first.
LOST = "Not read"


@dataclass(frozen=True, slots=True)
class ReadColumn:
    """A heading and what it is read as. ``score``, 0 to 100, is None unless the heading was guessed."""

    heading: str
    place: Origin
    name: str
    label: str
    unit: str
    score: float | None = None


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A column, row or sheet that was not read, by its text, and why."""

    text: str
    place: Origin
    why: str


@dataclass(frozen=True, slots=True)
class UnreadWord:
    """A text that is not understood under a heading: how often it stands there and where first."""

    text: str
    heading: str
    count: int
    first: Origin
    what: str


@dataclass(frozen=True, slots=True)
class Reading:
    """Everything that is worth showing of how a file was read."""

    columns: tuple[ReadColumn, ...] = ()
    columns_left_out: tuple[LeftOut, ...] = ()
    rows_left_out: tuple[LeftOut, ...] = ()
    unread: tuple[UnreadWord, ...] = ()
