"""Which rows of a table hold luminaires: not blank, no total, spare, note, repeated heading or struck out.

A row that stands by itself, such as a room over its luminaires, holds for the rows below it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import NamedTuple

from compat.intake import limits
from compat.intake.cells import printable, shown
from compat.intake.headings import Bound
from compat.intake.row_words import begins_with_word, has_word, is_word
from compat.intake.sums import Sums, TotalRow
from compat.intake.tables import CODE_COLUMNS, Kind, Table, panel_of
from compat.intake.told import Told, listed
from compat.model.faults import Fault
from compat.model.reading import LeftOut
from compat.model.values import Origin

# Columns whose cells name something; the others hold figures and words of the trade.
NAMING = frozenset(("circuit", "room", "description", "panel", *CODE_COLUMNS))
FIGURES = frozenset(("quantity", "input_power_w", "total_power_w", "input_current_a", "apparent_power_va"))
LONGEST_GROUP = 60
_DIGIT = re.compile(r"\d")


class Said(NamedTuple):
    """A text that holds for a row without standing in it, and its place."""

    text: str
    origin: Origin


@dataclass(frozen=True, slots=True)
class Chosen:
    """A row to read: its index, and what rows above it say for it by column name."""

    index: int
    said: dict[str, Said]


@dataclass(slots=True)
class RowChoice:
    """Goes through a table once; ``totals`` are the rows that add up others."""

    table: Table
    sums: Sums
    told: Told
    totals: list[TotalRow] = field(default_factory=list)
    _said: dict[str, Said] = field(default_factory=dict)
    _in_notes: bool = False
    _typed: int = 0
    _shapes: frozenset[str] | None = None
    _hidden: list[int] = field(default_factory=list)
    _alone: list[tuple[int, str, str]] = field(default_factory=list)

    def rows(self) -> list[Chosen]:
        """The rows with luminaires, in their order. Adds faults for rows longer than the heading."""
        table, grid = self.table, self.table.grid
        if panel := panel_of(table.title):
            self._said["panel"] = Said(panel, table.place())
        self._tell_unheaded()
        chosen = []
        for index in range(table.header.last_row + 1, table.end):
            self._check_length(index)
            filled = self._filled(index)
            if self._is_blank(index, filled):
                self._label_alone(index)
            elif not self._stands_apart(index, filled):
                self._tell_groups(True)
                chosen.append(Chosen(index, dict(self._said)))
                self._in_notes = False
                self.sums.add(index)
                self._typed += any(bound.column.name in CODE_COLUMNS for bound, _ in filled)
                self._hidden += [grid.numbers[index]] if index in grid.hidden_rows else []
        self._tell_groups(False)
        self._tell_hidden()
        return chosen

    def _filled(self, index: int) -> list[tuple[Bound, str]]:
        grid = self.table.grid
        return [(bound, text) for bound in self.table.bound if (text := grid.text(index, bound.index))]

    def _is_blank(self, index: int, filled: list[tuple[Bound, str]]) -> bool:
        """Whether a row states nothing. Formulas that show 0 are idle in rows not yet filled in."""
        flaws = self.table.grid.flaws
        if not flaws:
            return not filled
        for bound in self.table.bound:
            flaw = flaws.get((index, bound.index))
            if flaw is None:
                if self.table.grid.text(index, bound.index):
                    return False
            elif not flaw.idle or bound.column.name in ("circuit", "quantity"):
                return False
        return True

    def _stands_apart(self, index: int, filled: list[tuple[Bound, str]]) -> bool:
        """Whether the row is none of luminaires; tells what it is."""
        grid = self.table.grid
        texts = [text for _, text in filled]
        words = {text for bound, text in filled if bound.column.name in NAMING}
        words |= {text for text in texts if not _DIGIT.search(text)}
        words |= {text for text in texts[:1] if len(texts) == 1 and not _is_figure(text)}
        others = [text for b, text in filled if b.column.name not in FIGURES and text not in words]
        label = next((text for text in texts if text in words), "") or self._unbound_label(index)
        if all(text == bound.heading for bound, text in filled):
            return self._leave(index, label, "repeats the headings")
        if filled and all((index, bound.index) in grid.struck for bound, _ in filled):
            return self._leave(index, label, "is struck out")
        figures = all(b.column.name in FIGURES or text == label for b, text in filled) and not others
        if figures and self._is_total(index, label, filled):
            return True
        if self._is_spare(index, filled):
            return self._leave(index, label, "is a spare")
        has_quantity = any(b.column.name == "quantity" for b, _ in filled)
        if not has_quantity and (begins_with_word("note", label) or self._in_notes):
            self._in_notes = True
            return self._leave(index, label, "is a note")
        if len(set(texts)) == 1 and label and not self._flawed(index):
            return self._group(index, label, filled[0][0])
        return not has_quantity and self._says_no_luminaires(index, label, filled)

    def _is_total(self, index: int, label: str, filled: list[tuple[Bound, str]]) -> bool:
        """A row of figures alone that adds up rows above it, by its words or by its numbers."""
        worded = bool(label) and has_word("total", label)
        names = {bound.column.name for bound, _ in filled}
        if not worded and names.isdisjoint(FIGURES):
            return False
        if not worded and label and (self._typed * 3 < self.sums.rows * 2 or any(map(str.isdigit, label))):
            return False
        row = self.sums.total_row(index, self.table)
        if worded and self._may_be_luminaire(label, filled) and not any(row.agrees.values()):
            return False
        if not worded and not (row.figures and all(row.agrees.values()) and self.sums.rows):
            return bool(label) and self._heads_sum(index, label, row.figures.get("quantity"))
        self.totals.append(row)
        agrees = [name for name, agree in row.agrees.items() if agree]
        why = "is a total of the rows above it" if agrees else "is a total"
        for name, value in row.figures.items():
            if not row.agrees[name] and self.sums.rows:
                self.told.notes.append(self.sums.difference(row, name, value, self.table))
        self.sums.close()
        return self._leave(index, label, why)

    def _may_be_luminaire(self, label: str, filled: list[tuple[Bound, str]]) -> bool:
        """Whether a word for total is only a part of what stands under a luminaire's name."""
        names = {bound.column.name for bound, text in filled if text == label}
        return not names.isdisjoint((*CODE_COLUMNS, "description")) and not is_word("total", label)

    def _heads_sum(self, index: int, label: str, quantity: float | None) -> bool:
        """A row that stands over its rows with their sum: 'Ground floor, 24'."""
        bound = self.table.column("quantity")
        if quantity is None or bound is None:
            return False
        found = 0.0
        for row in range(index + 1, self.table.end):
            text = self.table.grid.text(row, bound.index)
            filled = self._filled(row)
            if not any(b.column.name in CODE_COLUMNS for b, _ in filled):
                break
            found += float(text) if text.isdecimal() and len(text) < 7 else 0.0
        if found != quantity:
            return False
        self._said["room"] = Said(label, self.table.place(index))
        return self._leave(index, label, "adds up the rows below it")

    def _is_spare(self, index: int, filled: list[tuple[Bound, str]]) -> bool:
        counted = any(bound.column.name in FIGURES for bound, _ in filled)
        # A room may be called Void or Space: with a quantity beside it that is no spare.
        columns = NAMING - ({"circuit", "panel", "room"} if counted else {"circuit", "panel"})
        named = [text for bound, text in filled if bound.column.name in columns]
        spare = [text for text in named if is_word("spare", text)]
        circuit = next((text for bound, text in filled if bound.column.name == "circuit"), "")
        if not named and not counted and begins_with_word("spare", circuit):
            return True
        kind = [b for b, text in filled if b.column.name in CODE_COLUMNS and not is_word("spare", text)]
        if not kind and not counted:
            # The word may stand in a column that is not known.
            spare += [text for text in self.table.grid.rows[index] if text and is_word("spare", text)]
        return bool(spare) and not kind

    def _says_no_luminaires(self, index: int, label: str, filled: list[tuple[Bound, str]]) -> bool:
        """A row without quantity that names no luminaire either, such as a circuit of sockets."""
        names = {bound.column.name for bound, _ in filled}
        if self.table.kind not in (Kind.circuits, Kind.luminaires) or self._flawed(index):
            return False
        if self.table.column("quantity") is None:
            return False
        has_power = not names.isdisjoint(("input_power_w", "total_power_w", "driver"))
        if "circuit" in names and (has_power or not names.isdisjoint(CODE_COLUMNS)):
            return False
        if "circuit" not in names and not names.isdisjoint(CODE_COLUMNS) and has_power:
            return False
        return self._leave(index, label, "names neither quantity nor luminaire")

    def _group(self, index: int, label: str, bound: Bound) -> bool:
        """A text by itself: a room or a board over the rows below, or a sentence."""
        if is_word("total", label) or has_word("total", label):
            return self._leave(index, label, "is a total")
        if bound.column.name == "circuit" and _shape(label) in self._circuit_shapes():
            return self._leave(index, label, "names neither quantity nor luminaire")
        if len(label) > LONGEST_GROUP or label.endswith(".") or self.table.kind is Kind.types:
            return self._leave(index, label, "is a note")
        name = "panel" if has_word("panel", label) else "room"
        self._said[name] = Said(label, self.table.place(index, bound))
        self._alone.append((index, label, _STANDS.format(_NAMES[name])))
        return True

    def _circuit_shapes(self) -> frozenset[str]:
        """How the circuits of rows with a quantity are written, digits aside."""
        circuit, quantity = self.table.column("circuit"), self.table.column("quantity")
        if self._shapes is None and circuit and quantity:
            rows = range(self.table.header.last_row + 1, self.table.end)
            text = self.table.grid.text
            named = (text(row, circuit.index) for row in rows if text(row, quantity.index))
            self._shapes = frozenset(_shape(name) for name in named if any(c.isdigit() for c in name))
        return self._shapes or frozenset()

    def _tell_groups(self, have_rows: bool) -> None:
        """Tell of rows that stand by themselves; without rows below they are notes."""
        for index, label, why in self._alone:
            self._leave(index, label, why if have_rows else "is a note")
        self._alone.clear()

    def _label_alone(self, index: int) -> None:
        """A text left of the bound columns or in an unheaded one: a room over its rows, or a note."""
        label = self._unbound_label(index) or self._first_and_only(index)
        if not label or len(label) > LONGEST_GROUP:
            return
        if begins_with_word("note", label):
            self._in_notes = True
        elif not self._in_notes and not has_word("total", label) and not label.endswith("."):
            name = "panel" if has_word("panel", label) else "room"
            self._said[name] = Said(label, self.table.place(index))
            self._alone.append((index, label, _STANDS.format(_NAMES[name])))

    def _first_and_only(self, index: int) -> str:
        """The text of the first column of the table, when no other cell of the row has any."""
        cells = [place for place, text in enumerate(self.table.grid.rows[index]) if text.strip()]
        first = next((place for place, text in enumerate(self.table.header.texts) if text), 0)
        return self.table.grid.text(index, first) if cells == [first] else ""

    def _unbound_label(self, index: int) -> str:
        grid = self.table.grid
        first = self.table.bound[0].index
        return next((text for column in range(first) if (text := grid.text(index, column))), "")

    def _flawed(self, index: int) -> bool:
        flaws = self.table.grid.flaws
        return bool(flaws) and any((index, bound.index) in flaws for bound in self.table.bound)

    def _leave(self, index: int, label: str, why: str) -> bool:
        bound = next(
            (b for b in self.table.bound if self.table.grid.text(index, b.index)), self.table.bound[0]
        )
        self.told.row_left_out(printable(label), self.table.place(index, bound), why)
        return True

    def _check_length(self, index: int) -> None:
        grid, width = self.table.grid, len(self.table.header.texts)
        if not grid.delimited or len(grid.rows[index]) <= width:
            return
        extra = [column for column in range(width, len(grid.rows[index])) if grid.text(index, column)]
        if extra:
            what = f"the row has {len(grid.rows[index])} cells, but there are {width} headings"
            do = "Put a cell that holds the separator in quotes, or remove the extra cells"
            self.told.faults.add(Fault(what, grid.place(index, extra[0], ""), do=do))

    def _tell_unheaded(self) -> None:
        """Columns with values and no heading, right of the first heading."""
        table, grid = self.table, self.table.grid
        rows = grid.rows[table.header.last_row + 1 : table.end]
        width = 0 if grid.delimited or grid.keyed else min(max(map(len, rows), default=0), limits.COLUMNS)
        beyond = range(len(grid.rows[table.header.last_row]), width)
        for column in (*sorted(table.unheaded), *beyond):
            for row in range(table.header.last_row + 1, table.end):
                if grid.text(row, column):
                    where = grid.place(row, column, "")
                    why = "a column without a heading holds values and is left out"
                    self.told.columns_left_out.append(LeftOut("", where, why))
                    break

    def _tell_hidden(self) -> None:
        grid = self.table.grid
        if self._hidden:
            self.told.notes.append(f"Hidden rows are read like the others: {listed(self._hidden)}.")
        unseen = [shown(b.heading) for b in self.table.bound if b.index in grid.hidden_columns]
        if unseen:
            self.told.notes.append(f"Hidden columns are read like the others: {listed(unseen)}.")


def _is_figure(text: str) -> bool:
    return text[0].isdigit() and not any(len(word) > 1 and word.isalpha() for word in text.split())


def _shape(name: str) -> str:
    return re.sub("[0-9]+", "0", name.casefold())


_NAMES = {"panel": "board", "room": "room"}
_STANDS = "stands by itself and names the {} of the rows below"


def merged_rows(table: Table, chosen: list[Chosen], told: Told) -> dict[tuple[int, int], int]:
    """For each cell below the first of a merged range, the row that holds the range's value.

    Quantities are left out: one number over two rows does not say how it is shared.
    """
    grid = table.grid
    columns = {bound.index: bound for bound in table.bound if bound.column.name != "quantity"}
    read = {row.index for row in chosen}
    merged: dict[tuple[int, int], int] = {}
    told_of: dict[str, list[tuple[int, int, int]]] = {}
    for merge in grid.merges:
        bound = columns.get(merge.left)
        if bound is None or merge.bottom == merge.top or not grid.text(merge.top, merge.left):
            continue
        below = [row for row in range(merge.top + 1, merge.bottom + 1) if row in read]
        if below:
            merged.update({(row, merge.left): merge.top for row in below})
            told_of.setdefault(bound.heading, []).append((merge.top, merge.left, below[-1]))
    for heading, places in told_of.items():
        top, left, last = places[0]
        first, text = grid.place(top, left, heading).text(), shown(grid.text(top, left))
        more = f" More cells of the column so: {len(places) - 1}." if len(places) > 1 else ""
        told.notes.append(
            f"{first}: merged down to row {grid.numbers[last]}; {text} is read in each of its rows.{more}"
        )
    return merged
