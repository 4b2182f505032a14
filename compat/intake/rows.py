"""Rows of a grid turned into rows of a schedule, with every fault told by its cell."""

from __future__ import annotations

import unicodedata
from collections.abc import Collection, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from compat.intake import limits
from compat.intake.agreement import Agreement
from compat.intake.cell_values import CellReader
from compat.intake.cells import FaultList, Grid, NumberText, Unreadable, shown
from compat.intake.headings import REQUIRED, Bound
from compat.intake.numbers import NOT_KNOWN, quantity
from compat.intake.row_choice import Merged
from compat.model.faults import Fault, did_you_mean
from compat.model.schedule import ScheduleRow
from compat.model.values import Content, Origin, Trait


class Filled(NamedTuple):
    """A cell with a text under a heading."""

    bound: Bound
    text: str
    origin: Origin


@dataclass(slots=True)
class RowReader:
    """Reads one row after the other; faults and what is worth a note gather in its fields."""

    grid: Grid
    bound: Sequence[Bound]
    cells: CellReader
    ids: dict[str, Ids]
    merged: Merged
    faults: FaultList
    agreement: Agreement = field(default_factory=Agreement)
    formulas: list[Origin] = field(default_factory=list)
    fractions: list[Origin] = field(default_factory=list)

    def read(self, index: int) -> ScheduleRow | None:
        """The row at an index of the grid; None when it has a fault."""
        before = len(self.faults.faults)
        filled = self._filled(index)
        words: dict[str, str] = {}
        count = 0
        traits: dict[str, dict[str, Trait]] = {"driver": {}, "circuit": {}}
        of_circuit: list[tuple[Filled, Content]] = []
        for name, cell in filled.items():
            try:
                content: Content
                if name == "quantity":
                    count = quantity(cell.text)
                    continue
                if cell.bound.column.target == "row":
                    content = words[name] = self._word(name, cell.text)
                else:
                    content = self._state(cell, traits)
            except Unreadable as error:
                self.faults.add(error.fault(cell.origin))
                continue
            if cell.bound.column.is_of_circuit and content not in (None, ""):
                of_circuit.append((cell, content))
        self._check_agreement(words.get("circuit", ""), of_circuit)
        if len(self.faults.faults) > before:
            return None
        return ScheduleRow(
            number=self.grid.numbers[index],
            circuit=words["circuit"],
            quantity=count,
            room=words.get("room", ""),
            luminaire_type=words.get("luminaire_type", ""),
            driver_id=words.get("driver") or None,
            output_id=words.get("output") or None,
            breaker=words.get("breaker") or None,
            rcd=words.get("rcd") or None,
            line=words.get("line") or None,
            driver_traits=traits["driver"],
            circuit_traits=traits["circuit"],
            origins={name: cell.origin for name, cell in filled.items()},
        )

    def _filled(self, index: int) -> dict[str, Filled]:
        """The cells with a text, by column; a fault for each that is flawed or missing."""
        filled: dict[str, Filled] = {}
        for bound in self.bound:
            row = self.merged.get((index, bound.index), index)
            flaw = self.grid.flaws.get((row, bound.index))
            text = self.grid.text(row, bound.index)
            name = bound.column.name
            if not (flaw or text or name in REQUIRED):
                continue
            origin = self.grid.place(row, bound.index, bound.heading)
            if flaw:
                self.faults.add(Fault(flaw.what, origin, do=flaw.do))
            elif text:
                filled[name] = Filled(bound, text, origin)
                self._remember(row, bound, origin)
            else:
                do = f"Write the {name} in every row, or empty the row"
                self.faults.add(Fault(f"the row has no {name}", origin, do=do))
        return filled

    def _remember(self, row: int, bound: Bound, origin: Origin) -> None:
        if (row, bound.index) in self.grid.formulas:
            self.formulas.append(origin)
        raw = self.grid.rows[row][bound.index]
        if bound.column.name == "circuit" and isinstance(raw, NumberText) and "." in raw:
            self.fractions.append(origin)

    def _word(self, name: str, text: str) -> str:
        """The text of a column that holds no figure; empty when it is not known."""
        if text.casefold() in NOT_KNOWN:
            if name == "circuit":
                raise Unreadable("the row has no circuit", do="Write the circuit in every row")
            return ""
        if name in self.ids:
            return self.ids[name].find(text)
        if len(text) > limits.CELL_TEXT:
            what = f"the text has {len(text)} characters"
            raise Unreadable(what, f"At most {limits.CELL_TEXT}", "Shorten it")
        if any(unicodedata.category(character) == "Cc" for character in text):
            raise Unreadable(f"{shown(text)} holds control characters", do="Type it again")
        return text

    def _state(self, cell: Filled, traits: dict[str, dict[str, Trait]]) -> Content:
        """Add the traits a cell states, and give back the content of its own column."""
        contents = self.cells.contents(cell.text, cell.bound)
        target = traits["circuit" if cell.bound.column.target == "circuit" else "driver"]
        for name, content in contents.items():
            first = target.setdefault(name, Trait(content, origin=cell.origin))
            if first.content != content and first.origin:
                raise Unreadable(
                    f"{shown(cell.text)} differs from what {first.origin.text()} says",
                    do="State each figure once",
                )
        return contents.get(cell.bound.column.name)

    def _check_agreement(self, circuit: str, stated: Sequence[tuple[Filled, Content]]) -> None:
        for cell, content in stated if circuit else ():
            fault = self.agreement.check(circuit, cell.bound.column, content, cell.text, cell.origin)
            if fault:
                self.faults.add(fault)


class Ids:
    """Ids of a table, found exactly or, when only one fits, without case."""

    def __init__(self, kind: str, ids: Collection[str]) -> None:
        self._kind = kind
        self._ids = frozenset(ids)
        self._folded: dict[str, list[str]] = {}
        for known in sorted(self._ids):
            self._folded.setdefault(known.casefold(), []).append(known)
        self._unknown: dict[str, Unreadable] = {}

    def find(self, text: str) -> str:
        """The id. Raises Unreadable with the nearest ids."""
        if text in self._ids:
            return text
        alike = self._folded.get(text.casefold(), [])
        if len(alike) == 1:
            return alike[0]
        if text not in self._unknown:
            what = f"there is no {self._kind} {shown(text)}"
            allowed = f"Allowed: the id of a {self._kind} of the dataset, or empty"
            if self._kind == "output":
                allowed = allowed.replace(" a output", " an output")
            do = did_you_mean(text, sorted(self._ids))
            self._unknown[text] = Unreadable(what, allowed, do)
        raise self._unknown[text]
