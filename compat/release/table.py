"""A table of a release: columns with a type and a meaning, rows in a fixed order."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

ColumnType = Literal["text", "number", "whole", "yes_no", "words"]
Cell: TypeAlias = "str | float | int | bool | list[str] | None"


@dataclass(frozen=True, slots=True)
class Column:
    """One column. ``number`` is a finite number, ``words`` a list of texts; empty means not known."""

    name: str
    type: ColumnType
    meaning: str


@dataclass(frozen=True, slots=True)
class Table:
    """``key`` names the columns that tell the rows apart; each row has a cell for each column."""

    name: str
    meaning: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]
    key: tuple[str, ...]


def text(name: str, meaning: str) -> Column:
    """A column of text."""
    return Column(name, "text", meaning)


def words(name: str, meaning: str) -> Column:
    """A column of lists of texts."""
    return Column(name, "words", meaning)


def or_none(value: str | None) -> str | None:
    """The text, None where it is empty, so that what is not said looks the same in every table."""
    return value or None
