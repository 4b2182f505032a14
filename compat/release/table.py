"""A table of a release: columns with a type and a meaning, rows in a fixed order; and its CSV form."""

from __future__ import annotations

import csv
import json
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Literal, TypeAlias, cast

ColumnType = Literal["text", "number", "whole", "yes_no", "words"]
Cell: TypeAlias = "str | float | int | bool | list[str] | None"
# A spreadsheet takes a text that begins with one of the first six for a formula. The apostrophe, which
# marks such texts, is among them so that taking one off always gives the text.
MARKED_STARTS = ("=", "+", "-", "@", "\t", "\r", "'")
CSV_NOTE = (
    "In the CSV files a text that begins with = + - @ ', a tab or a carriage return has an apostrophe in "
    "front, so that no spreadsheet takes it for a formula; take it off to get the text."
)


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


@cache
def _meanings() -> dict[str, dict[str, Column]]:
    """The columns of each table by name; the one without a name has the meaning of the table."""
    found: dict[str, dict[str, Column]] = {}
    with (Path(__file__).parent / "columns.csv").open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            column = Column(row["column"], cast(ColumnType, row["type"]), row["meaning"])
            found.setdefault(row["table"], {})[row["column"]] = column
    return found


def columns_of(name: str) -> tuple[Column, ...]:
    """The columns that are described for a table, in their order."""
    return tuple(column for column in _meanings()[name].values() if column.name)


def table(
    name: str, rows: Iterable[tuple[Cell, ...]], *key: str, columns: tuple[Column, ...] | None = None
) -> Table:
    """A table with what is described of it; ``key`` names the columns that tell its rows apart."""
    return Table(name, _meanings()[name][""].meaning, columns or columns_of(name), tuple(rows), key)


def or_none(value: str | None) -> str | None:
    """The text, None where it is empty, so that what is not said looks the same in every table."""
    return value or None


def csv_text(table: Table) -> str:
    """A table as CSV: a header, nothing for what is not known, lists as JSON, texts as ``CSV_NOTE`` says."""
    rows = ([column.name for column in table.columns], *table.rows)
    return "".join(f"{','.join(map(_csv_cell, row))}\n" for row in rows)


def _csv_cell(cell: Cell) -> str:
    """A cell as RFC 4180 writes it; Python's own writer leaves a lone carriage return without quotes."""
    if isinstance(cell, str):
        text = f"'{cell}" if cell.startswith(MARKED_STARTS) else cell
    elif isinstance(cell, bool | list):
        text = json.dumps(cell, ensure_ascii=False)
    else:
        text = "" if cell is None else repr(cell)
    return '"' + text.replace('"', '""') + '"' if any(mark in text for mark in '",\r\n') else text
