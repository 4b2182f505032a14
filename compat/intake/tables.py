"""The tables of a file: where each begins and ends, its columns, and what it is a table of."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum
from itertools import pairwise
from typing import NamedTuple

from compat.intake import limits
from compat.intake.cells import Grid, Merge, Unreadable, shown
from compat.intake.header import LEAST_NAMES, Header, find_headers, names_in
from compat.intake.heading_values import are_ratings
from compat.intake.headings import Bound
from compat.intake.known_headings import (
    CERTAIN,
    DRIVER_COUNT,
    LAMPS_EACH,
    TOTAL_POWER,
    KnownHeadings,
    with_name,
)
from compat.intake.row_words import has_word, is_word
from compat.intake.told import BY_MAP, RATINGS, Told
from compat.model.reading import LeftOut, ReadColumn
from compat.model.values import Origin, TokenSet

# A second description, such as that of the lamp.
FURTHER = "further_description"
COUNTING = frozenset(("quantity", "address"))
CODE_COLUMNS = ("luminaire_type_code", "luminaire_type")
OF_LUMINAIRE = frozenset(("driver", "description", FURTHER, *CODE_COLUMNS))
TRANSPOSED_ROWS = 40
VALUES_LOOKED_AT = 30
# "No.", "Nr." and the like say neither of what they are the number nor whether it counts.
BARE_SCORE = 90.0
MOST_DIGITS = 3
_WORD = re.compile(r"[^\W\d_]{3}")
TICKS = frozenset(("x", "✓", "✔", "☑", "•", "●", "yes", "y", "ja", "j", "oui", "sí", "si", "sì", "1"))
NO_TICKS = frozenset(("", "-", "–", "no", "n", "nein", "non", "nee", "nej", "nei", "0", "☐", "○"))


class Kind(StrEnum):
    """What a table is a table of."""

    circuits = "circuits"
    luminaires = "luminaires"
    types = "types"
    register = "register"
    other = "other"


class Tick(NamedTuple):
    """A column of ticks under the name of a method."""

    bound: Bound
    methods: TokenSet


@dataclass(slots=True)
class Table:
    """A table of a sheet: its heading, its columns from left to right, and the row after its last."""

    grid: Grid
    header: Header
    end: int
    bound: list[Bound]
    title: tuple[str, ...] = ()
    remarks: list[int] = field(default_factory=list)
    kind: Kind = Kind.other
    unheaded: frozenset[int] = field(default_factory=frozenset)
    ignored: set[int] = field(default_factory=set)
    left_out: list[LeftOut] = field(default_factory=list)
    turned: bool = False
    ticks: list[Tick] = field(default_factory=list)

    @property
    def names(self) -> frozenset[str]:
        """The names of its columns."""
        return frozenset(bound.column.name for bound in self.bound)

    def column(self, name: str) -> Bound | None:
        """The column of a name, None when the table has none."""
        return next((bound for bound in self.bound if bound.column.name == name), None)

    @property
    def counts(self) -> bool:
        """Whether it says how many: by a quantity, or by a row for the address of each."""
        return not self.names.isdisjoint(COUNTING)

    def place(self, row: int = -1, bound: Bound | None = None) -> Origin:
        """A cell of the table, by default its first heading."""
        bound = bound or self.bound[0]
        return self.grid.place(self.header.last_row if row < 0 else row, bound.index, bound.heading)

    @property
    def sheet(self) -> str:
        """The sheet's name, or the file's where there are none."""
        return self.grid.sheet or self.grid.file


def find_tables(grid: Grid, headings: KnownHeadings) -> list[Table]:
    """The tables of a sheet, with their columns bound."""
    found = find_headers(grid, headings)
    turned = _transposed(grid, max((len(header.names) for header in found), default=0), headings)
    if turned is not None:
        grid, found = turned, find_headers(turned, headings)
    tables = []
    for index, header in enumerate(found):
        following = found[index + 1].first_row if index + 1 < len(found) else len(grid.rows)
        start = found[index - 1].last_row + 1 if index else 0
        titles = _title(grid, start, header.first_row)
        for part in _side_by_side(header, headings):
            table = Table(grid, part, following, [], titles)
            table.turned = turned is not None
            bind_columns(table, headings)
            if table.bound:
                table.kind = _kind(table.names)
                tables.append(table)
    return tables


def _kind(names: frozenset[str]) -> Kind:
    """What a table with such columns is of, whatever other tables there are."""
    has_type = not names.isdisjoint(CODE_COLUMNS) or "description" in names
    traits = names - COUNTING - {"circuit", "room", "panel", "breaker", "line", "output", "rcd"}
    if "circuit" in names:
        if names & COUNTING or has_type:
            return Kind.circuits
        return Kind.circuits if traits else Kind.register
    if has_type and names & COUNTING:
        return Kind.luminaires
    return Kind.types if (has_type and traits - OF_LUMINAIRE) or "description" in names else Kind.other


def _title(grid: Grid, start: int, end: int) -> tuple[str, ...]:
    """The texts of the rows between a table and the heading below it."""
    rows = grid.rows[max(start, end - 6) : end]
    return tuple(text for row in rows for text in row[:40] if text)


def _side_by_side(header: Header, headings: KnownHeadings) -> Iterator[Header]:
    """The heading once for each table that stands beside another: the same columns come again."""
    names = [
        found.name if (found := headings.recognised(text)) else "" if text else None for text in header.texts
    ]
    first = next((name for name in names if name), None)
    starts = [index for index, name in enumerate(names) if name and name == first]
    doubled = {name for name in names if name and names.count(name) > 1}
    if len(starts) < 2 or len(doubled) < 2 or "circuit" not in doubled:
        yield header
        return
    for begin, end in zip(starts, [*starts[1:], len(names)], strict=True):
        texts = tuple(text if begin <= i < end else "" for i, text in enumerate(header.texts))
        names_there = names_in(texts, headings)
        yield replace(header, texts=texts[:end], names=names_there, first_column=begin)


def _transposed(grid: Grid, best: int, headings: KnownHeadings) -> Grid | None:
    """The grid turned over, when its first column names more than any row does."""
    if grid.keyed or len(grid.rows) > TRANSPOSED_ROWS or best >= LEAST_NAMES:
        return None
    count = len(names_in([grid.text(row, 0) for row in range(len(grid.rows))], headings))
    if count < LEAST_NAMES or count <= best:
        return None
    width = max(map(len, grid.rows))
    rows = [[grid.text(row, column) for row in range(len(grid.rows))] for column in range(width)]

    def place(row: int, column: int, heading: str) -> Origin:
        return grid.place(column, row, heading)

    return replace(
        grid, rows=rows, numbers=range(1, width + 1), place=place, delimited=False,
        flaws={(column, row): flaw for (row, column), flaw in grid.flaws.items()},
        formulas={(column, row) for row, column in grid.formulas},
        struck={(column, row) for row, column in grid.struck},
        merges=[Merge(m.left, m.top, m.right, m.bottom) for m in grid.merges],
        hidden_rows=set(grid.hidden_columns), hidden_columns=set(grid.hidden_rows),
    )  # fmt: skip


def bind_columns(table: Table, headings: KnownHeadings) -> None:
    """Bind the columns that are known, from left to right, and keep those left out."""
    header, grid = table.header, table.grid
    bound: dict[str, Bound] = {}
    unheaded = set()
    if any(text.strip() for text in grid.rows[header.last_row][limits.COLUMNS :]):
        where = grid.place(header.last_row, limits.COLUMNS, "")
        why = f"only the first {limits.COLUMNS} columns are read"
        table.left_out.append(LeftOut("", where, why))
    for index, text in enumerate(header.texts):
        where = grid.place(header.last_row, index, text)
        if index < header.first_column:
            continue
        if not text:
            unheaded.add(index)
        elif tick := _tick(table, index, text, headings):
            table.ticks.append(tick)
        elif headings.recognised(text) is None or headings.is_left_out(text):
            table.ignored |= {index} if headings.is_left_out(text) else set()
            if is_word("note", text):
                table.remarks.append(index)
            elif not text.startswith("#"):
                table.left_out.append(LeftOut(text, where, BY_MAP if headings.is_mapped(text) else ""))
        else:
            try:
                values = _values(table, index)
                found = headings.bind(index, text, values)
            except Unreadable as error:
                table.left_out.append(LeftOut(text, where, error.what))
                continue
            if found.column.name == "driver" and values and all(map(str.isdecimal, values)):
                found = replace(found, column=headings.columns[DRIVER_COUNT], unit="count")
            if found.column.name == "description" and found.weak and not any(map(_WORD.search, values)):
                table.left_out.append(LeftOut(text, where, ""))
                table.ignored.add(index)
                continue
            if found.column.name in ("breaker", "rcd") and are_ratings(values):
                table.left_out.append(LeftOut(text, where, RATINGS))
                continue
            _add(bound, found, table, headings, where)
    if DRIVER_COUNT in bound and "quantity" not in bound:
        bound["quantity"] = with_name(bound.pop(DRIVER_COUNT), headings.columns["quantity"])
    if "circuit" not in bound or bound["circuit"].weak:
        _add_way(table, bound, headings)
    if "circuit" in bound and "quantity" not in bound:
        _add_bare_number(table, bound, headings)
    table.bound = sorted(bound.values(), key=lambda column: column.index)
    table.unheaded = frozenset(unheaded)


def _add_way(table: Table, bound: dict[str, Bound], headings: KnownHeadings) -> None:
    """The ways of a board name its circuits where no column does: each circuit has one. It is told."""
    way, named = bound.get("breaker"), bound.get("circuit")
    ways = _values(table, way.index) if way else []
    if way is None or len(set(ways)) < 2 or any(above == below for above, below in pairwise(ways)):
        return
    if named is not None:
        # A column that only describes the circuits, such as 'Hall', names no number.
        if any(map(str.isdigit, "".join(_values(table, named.index)))):
            return
        bound.setdefault("description", with_name(named, headings.columns["description"]))
    bound["circuit"] = replace(way, column=headings.columns["circuit"], score=BARE_SCORE)


def _add_bare_number(table: Table, bound: dict[str, Bound], headings: KnownHeadings) -> None:
    """'No.' or 'Points' beside a column of circuits is how many there are, unless it numbers the rows. It is
    told.
    """
    for index, text in enumerate(table.header.texts):
        if not (is_word("number", text) or is_word("luminaire", text)) or headings.is_mapped(text):
            continue
        values = _values(table, index)
        counts = [int(value) for value in values if value.isdecimal() and len(value) <= MOST_DIGITS]
        running = len(counts) > 1 and all(b - a == 1 for a, b in pairwise(counts))
        if counts and len(counts) == len(values) and min(counts) > 0 and not running:
            bound["quantity"] = Bound(index, headings.columns["quantity"], text, "", BARE_SCORE)
            table.left_out = [entry for entry in table.left_out if entry.text != text]
            return


def tell_columns(table: Table, told: Told) -> None:
    """Tell how the headings of a table that is read are understood."""
    told.columns_left_out += table.left_out
    if table.turned:
        told.notes.append(f"{table.place().text()}: the table has its headings in a column.")
    columns = sorted([*table.bound, *(tick.bound for tick in table.ticks)], key=lambda b: b.index)
    for column in columns:
        score = column.score if column.score < CERTAIN else None
        name, label = column.column.name, column.column.label
        where = table.place(bound=column)
        told.columns.append(ReadColumn(column.heading, where, name, label, column.unit, score))
        if score is not None:
            told.notes.append(
                f"{where.text()}: the heading {shown(column.heading)} is guessed to mean {label} "
                f"(likeness {score:.0f} of 100); --map FILE settles it."
            )


def _add(bound: dict[str, Bound], found: Bound, table: Table, headings: KnownHeadings, where: Origin) -> None:
    """Keep a column; of two that name the same one, the second stands for something else or is left out."""
    name = found.column.name
    first = bound.setdefault(name, found)
    if first is found:
        return
    if name == "circuit":
        # Luminaires controlled together are the finer of two groupings.
        yields = _distinct(table, found) > _distinct(table, first)
    else:
        yields = first.weak and not found.weak
    if yields:
        bound[name], found, where = found, first, table.place(bound=first)
        first = bound[name]
    if name == "input_power_w" and TOTAL_POWER not in bound:
        # Which of the two is each and which the total, the numbers must show.
        bound[TOTAL_POWER] = with_name(found, headings.columns[TOTAL_POWER])
        return
    if name == "luminaire_type" and "description" not in bound and "description" in headings.columns:
        bound["description"] = with_name(found, headings.columns["description"])
        return
    if name == "quantity" and LAMPS_EACH not in bound and has_word("lamp", found.heading):
        bound[LAMPS_EACH] = replace(found, column=headings.columns[LAMPS_EACH], unit="count")
        return
    if name == "description" and FURTHER not in bound:
        bound[FURTHER] = with_name(found, headings.columns[FURTHER])
        return
    why = f"{shown(first.heading)} names the same column, {found.column.label}"
    table.left_out.append(LeftOut(found.heading, where, why))


def _tick(table: Table, index: int, text: str, headings: KnownHeadings) -> Tick | None:
    """A column headed by a method, such as DALI, whose cells are ticks and gaps."""
    methods = headings.method_named(text)
    if methods is None:
        return None
    rows = range(table.header.last_row + 1, table.end)
    cells = {folded_tick(cell) for row in rows if (cell := table.grid.text(row, index))}
    if not cells & TICKS or not cells <= TICKS | NO_TICKS:
        return None
    return Tick(Bound(index, headings.columns["methods"], text, ""), methods)


def folded_tick(text: str) -> str:
    """A cell of a matrix of ticks without case."""
    return text.casefold().strip(" .")


def _values(table: Table, column: int) -> list[str]:
    """Some of the texts under a heading."""
    last = min(table.header.last_row + 1 + VALUES_LOOKED_AT, table.end)
    rows = range(table.header.last_row + 1, last)
    return [text for row in rows if (text := table.grid.text(row, column))]


def _distinct(table: Table, bound: Bound) -> int:
    rows = range(table.header.last_row + 1, table.end)
    return len({table.grid.text(row, bound.index) for row in rows} - {""})


def panel_of(title: Sequence[str]) -> str:
    """The board that the title of a table names, such as 'Distribution board DB-A'; or nothing."""
    for text in title:
        if len(text) <= 60 and has_word("panel", text) and any(c.isalnum() for c in text):
            return text
    return ""
