"""Rows of a table turned into entries: what each states, with the cell of every value.

An optional cell that cannot be read is not known, and that is told; a quantity that cannot be read is
a fault, since going on would drop luminaires.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from compat.intake import limits
from compat.intake.cell_values import CellReader
from compat.intake.cells import NumberText, Unreadable, shown
from compat.intake.entries import Entry, Filled
from compat.intake.equipment_ids import Ids
from compat.intake.known_headings import DRIVER_COUNT, LAMPS_EACH, TOTAL_POWER
from compat.intake.numbers import is_not_known, quantity
from compat.intake.row_choice import Chosen
from compat.intake.row_words import has_word, is_word
from compat.intake.tables import FURTHER, TICKS, Kind, Table, folded_tick
from compat.intake.told import Told
from compat.model.values import Content, Interval, Origin, TokenSet, Trait

# Columns whose words are kept as they stand.
PLAIN = frozenset(("circuit", "room", "luminaire_type", "luminaire_type_code", "description", FURTHER,
                   "address", "breaker", "line", "panel", "rcd", "driver", "output"))  # fmt: skip
POWER = "input_power_w"
_PER_METRE = re.compile(r"(.*\d\s*[wW])\s*/\s*l?f?m")
_METRES = re.compile(
    r"([0-9]+(?:[.,][0-9]+)?)\s*(?:m|lm|lfm|ml|mtr|metres?|meters?|metri|mètres?|metros?)\.?",
    re.IGNORECASE,
)
NOT_DIMMABLE = TokenSet.exactly("switched")
Describe = Callable[[str], Mapping[str, Content]]


@dataclass(slots=True)
class RowReader:
    """Reads the rows of one table; what is worth telling gathers in ``told``."""

    table: Table
    cells: CellReader
    ids: Mapping[str, Ids]
    merged: Mapping[tuple[int, int], int]
    told: Told
    describe: Describe
    driver_traits: frozenset[str]
    formulas: list[Origin] = field(default_factory=list)
    fractions: list[Origin] = field(default_factory=list)
    _last: Entry | None = None

    def read(self, chosen: Chosen) -> Entry | None:
        """The entry of a row; None when it has a fault or holds no luminaires."""
        before = len(self.told.faults.faults)
        entry = Entry(self.table, chosen.index)
        self._fill(entry)
        for name, cell in entry.cells.items():
            if name in PLAIN:
                self._word(entry, name, cell)
            elif name != "quantity":
                self._state(entry, name, cell)
        for name, said in chosen.said.items():
            if name not in entry.words:
                entry.words[name] = said.text
                entry.origins[name] = said.origin
        if self.table.kind is Kind.circuits:
            self._circuit(entry)
        elif self.table.kind is Kind.register:
            entry.circuit = entry.words.get("circuit", "")
        counted = self.table.kind is Kind.types or self._count(entry)
        self._ticked(entry)
        self._addressed(entry)
        self._metres(entry)
        self._described(entry)
        if len(self.told.faults.faults) > before or not counted:
            return None
        self._last = entry
        return entry

    def _fill(self, entry: Entry) -> None:
        """The cells with a text, by column; what cannot be trusted is told or is a fault."""
        grid, told = self.table.grid, self.told
        for bound in self.table.bound:
            row = self.merged.get((entry.index, bound.index), entry.index)
            flaw = grid.flaws.get((row, bound.index)) if grid.flaws else None
            text = grid.text(row, bound.index)
            if not (flaw or text):
                continue
            origin = grid.place(row, bound.index, bound.heading)
            name = bound.column.name
            if flaw and name in ("quantity", "circuit"):
                told.fault(flaw.what, origin, do=flaw.do)
            elif flaw:
                told.unread(text, bound, Unreadable(flaw.what, do=flaw.do), origin)
            elif name not in ("circuit", "quantity") and is_word("continued", text):
                do = "Write the value in each row"
                told.unread(text, bound, Unreadable(f"{shown(text)} points to another row", do=do), origin)
            elif (row, bound.index) in grid.struck:
                told.grouped(f"the text {shown(text)} is struck out and is not read", origin)
            else:
                entry.cells[name] = Filled(bound, text, origin)
                entry.origins[name] = origin
                if (row, bound.index) in grid.formulas:
                    self.formulas.append(origin)
                raw = grid.rows[row][bound.index]
                if name == "circuit" and isinstance(raw, NumberText) and "." in raw:
                    self.fractions.append(origin)

    def _word(self, entry: Entry, name: str, cell: Filled) -> None:
        """Keep the text of a column that holds no figure; one that is not known is left out."""
        text = cell.text
        if is_not_known(text):
            return
        try:
            if name in self.ids:
                text = self.ids[name].find(text)
            _check_text(text)
        except Unreadable as error:
            grave = name == "circuit" or (name in self.ids and self.ids[name].is_alike(text))
            if grave:
                self.told.faults.add(error.fault(cell.origin))
            elif name not in ("driver", "output") or not self._names_method(entry, cell):
                self.told.unread(text, cell.bound, error, cell.origin)
            return
        entry.words[name] = text

    def _state(self, entry: Entry, name: str, cell: Filled) -> None:
        """Add the traits a cell states; two that differ leave the trait unknown, and that is told."""
        if name == "methods" and not cell.bound.of_driver:
            entry.planned = self.cells.planned(cell.text, cell.bound)
            if self.cells.only_dims(cell.text):
                entry.circuit_traits.setdefault("wanted_control", Trait("dimmed", origin=cell.origin))
                self.told.grouped(
                    f"{shown(cell.text)} says that it is dimmed, not by which method", cell.origin
                )
                return
        per_metre = _PER_METRE.fullmatch(cell.text) if name in (POWER, TOTAL_POWER) else None
        text = per_metre[1] if per_metre else cell.text
        try:
            contents = self.cells.contents(text, cell.bound)
        except Unreadable as error:
            if name != "load_type" or not self._names_method(entry, cell):
                self.told.unread(cell.text, cell.bound, error, cell.origin)
            return
        for trait, content in contents.items():
            stated = Trait(content, origin=cell.origin)
            if name == TOTAL_POWER and not per_metre:
                entry.total = stated
            elif per_metre and trait == POWER:
                self._keep(entry, "led_strip_w_per_m", stated, cell)
            elif trait == POWER:
                entry.power = stated
            elif cell.bound.column.target == "circuit":
                entry.circuit_traits[trait] = stated
            elif trait in self.driver_traits:
                self._keep(entry, trait, stated, cell)
            else:
                entry.extra[trait] = stated
                if name not in (DRIVER_COUNT, LAMPS_EACH) and not contents.keys() & self.driver_traits:
                    what = f"the {cell.bound.column.label} is not used: it may be of the mains or of the LEDs"
                    self.told.grouped(what, cell.origin)

    def _names_method(self, entry: Entry, cell: Filled) -> bool:
        """A method under a heading of something else, such as DALI under 'Control gear'. It is told."""
        if self.table.column("methods") is not None:
            return False
        try:
            contents = self.cells.methods(cell.text)
        except Unreadable:
            return False
        for trait, content in contents.items():
            self._keep(entry, trait, Trait(content, origin=cell.origin), cell)
        heading = shown(cell.bound.heading)
        self.told.once(f"what stands under {heading} is read as the method where it names one.", cell.origin)
        return bool(contents)

    def _keep(self, entry: Entry, name: str, stated: Trait, cell: Filled) -> None:
        first = entry.driver.setdefault(name, stated)
        if first.content != stated.content and first.origin:
            what = f"{shown(cell.text)} differs from what {first.origin.text()} says"
            self.told.unread(
                cell.text, cell.bound, Unreadable(what, do="State each figure once"), cell.origin
            )
            entry.driver[name] = Trait(None, origin=cell.origin)

    def _circuit(self, entry: Entry) -> None:
        """The circuit of the row; a row without one goes on with that of the row right above it."""
        entry.circuit = entry.words.get("circuit", "")
        if entry.circuit or self._has_flaw(entry, "circuit"):
            return
        where = entry.place("circuit")
        cell = entry.cells.get("circuit")
        if cell and not is_not_known(cell.text):
            return  # what is wrong with its text is told already
        last = self._last
        stated = not entry.words.keys().isdisjoint(("luminaire_type", "luminaire_type_code", "description"))
        same_room = last and entry.words.get("room", "") in ("", last.words.get("room", ""))
        if "circuit" not in entry.cells and last and stated and same_room and last.index == entry.index - 1:
            entry.circuit = last.circuit
            entry.origins["circuit"] = last.place("circuit")
            self.told.grouped("the row names no circuit and is read with the circuit above it", where)
            return
        self.told.fault("the row has no circuit", where, do="Write the circuit of these luminaires")

    def _has_flaw(self, entry: Entry, name: str) -> bool:
        bound = self.table.column(name)
        return bound is not None and (entry.index, bound.index) in self.table.grid.flaws

    def _count(self, entry: Entry) -> bool:
        """Read the quantity; False for a row of none."""
        cell = entry.cells.get("quantity")
        if cell is None:
            if self.table.column("quantity") is None:
                entry.quantity = 1
            elif not self._has_flaw(entry, "quantity"):
                do = "Write how many luminaires the row stands for"
                self.told.fault("the row has no quantity", entry.place("quantity"), do=do)
            return True
        if re.fullmatch(r"0+(?:[.,]0+)?", cell.text):
            self.told.row_left_out(entry.circuit, cell.origin, "has a quantity of 0")
            return False
        if metres := _METRES.fullmatch(cell.text):
            entry.quantity = 1
            entry.metres = float(metres[1].replace(",", "."))
            return True
        try:
            entry.quantity = quantity(cell.text)
        except Unreadable as error:
            error.do = error.do or "Write how many luminaires the row stands for"
            self.told.faults.add(error.fault(cell.origin))
        return True

    def _ticked(self, entry: Entry) -> None:
        """The methods whose columns are ticked."""
        grid = self.table.grid
        ticked = [t for t in self.table.ticks if folded_tick(grid.text(entry.index, t.bound.index)) in TICKS]
        if ticked and "methods" not in entry.driver:
            sure = frozenset[str]().union(*(tick.methods.sure for tick in ticked))
            possible = frozenset[str]().union(*(tick.methods.possible for tick in ticked))
            bound = ticked[0].bound
            place = grid.place(entry.index, bound.index, bound.heading)
            entry.driver["methods"] = Trait(TokenSet(sure, possible), origin=place)
            entry.origins["methods"] = place

    def _addressed(self, entry: Entry) -> None:
        """A device in a list of DALI addresses is controlled by DALI."""
        cell = entry.cells.get("address")
        if cell and "methods" not in entry.driver and self._of_dali(cell):
            methods = frozenset(("dali", "switched"))
            entry.driver["methods"] = Trait(TokenSet(methods, methods), origin=cell.origin)
            entry.origins["methods"] = cell.origin

    def _of_dali(self, cell: Filled) -> bool:
        texts = (cell.bound.heading, self.table.sheet, *self.table.title)
        return any("dali" in text.casefold().split() for text in texts)

    def _metres(self, entry: Entry) -> None:
        """A quantity of metres is the length of one strip, whose watts are a metre's."""
        if not entry.metres:
            return
        cell = entry.cells["quantity"]
        length = Interval(entry.metres, entry.metres)
        entry.driver.setdefault("led_strip_length_m", Trait(length, origin=cell.origin))
        if entry.power:
            do = "Write it as watts a metre, such as 14.4 W/m, or give the number of drivers"
            what = f"the quantity is {entry.metres:g} m, and the watts are not said to be a metre's"
            self.told.unread(cell.text, cell.bound, Unreadable(what, do=do), cell.origin)
            entry.power = None

    def _described(self, entry: Entry) -> None:
        """What a description surely says, where no column says it."""
        self._remarked(entry)
        cells = [cell for name in ("description", FURTHER) if (cell := entry.cells.get(name))]
        if not cells and "driver" not in entry.words:
            cells = [cell for cell in (entry.cells.get("luminaire_type"),) if cell]
        for cell in cells:
            self._describe_cell(entry, cell)

    def _describe_cell(self, entry: Entry, cell: Filled) -> None:
        for name, content in self.describe(cell.text).items():
            stated = Trait(content, origin=cell.origin)
            if name == POWER and cell.bound.column.name == FURTHER and self._has_many_lamps(entry):
                continue
            if name == POWER:
                if entry.power is None and entry.total is None:
                    entry.power, entry.is_each = stated, True
                entry.type_power = stated
            elif name == "methods":
                entry.driver[name] = accepted(entry.driver.get(name), stated, entry.planned)
            elif name in self.driver_traits:
                entry.driver.setdefault(name, stated)

    def _has_many_lamps(self, entry: Entry) -> bool:
        """Whether the luminaire has several lamps, so that the watts of a lamp are not its own."""
        words = (entry.words.get("description", ""), entry.words.get("luminaire_type", ""))
        return any(has_word("many_lamps", text) for text in words)

    def _remarked(self, entry: Entry) -> None:
        """The kind of load that a remark names, and that it must not be dimmed; a remark says no figures."""
        if "driver" in entry.words:
            return
        grid = self.table.grid
        for index in self.table.remarks:
            said = self.describe(grid.text(entry.index, index))
            where = grid.place(entry.index, index, self.table.header.texts[index])
            if "load_type" in said:
                entry.driver.setdefault("load_type", Trait(said["load_type"], origin=where))
            if said.get("methods") == NOT_DIMMABLE:
                gear = Trait(NOT_DIMMABLE, origin=where)
                entry.driver["methods"] = accepted(entry.driver.get("methods"), gear, entry.planned)


def accepted(column: Trait | None, gear: Trait, planned: frozenset[str] | None) -> Trait:
    """The methods that a driver accepts: a column of controls says how it is to be controlled.

    ``gear`` is what the description or the list of types says of the driver. Where both fit, the narrower
    one stands; where they do not, the control that is planned does not fit the driver.
    """
    if column is None or not isinstance(column.content, TokenSet):
        return gear
    if planned is None or not isinstance(gear.content, TokenSet):
        return column
    theirs = gear.content.possible - {"switched"}
    if column.content.possible & theirs:
        return gear if gear.content.sure >= column.content.possible else column
    return column if not theirs and planned == {"switched"} else gear


def _check_text(text: str) -> None:
    """Raises Unreadable for a text that is too long or cannot be printed."""
    if len(text) > limits.CELL_TEXT:
        what = f"the text has {len(text)} characters"
        raise Unreadable(what, f"At most {limits.CELL_TEXT}", "Shorten it")
    if not text.isprintable() and any(unicodedata.category(character) == "Cc" for character in text):
        raise Unreadable(f"{shown(text)} holds control characters", do="Type it again")
