"""What the spreadsheet reader does not tell of a sheet: formulas, errors, hidden rows, true size.

The reader gives only the stored result of a formula, and it takes memory for every cell up to the
last one. So the sheet's XML is read through first, in one pass and without keeping it.
"""

from __future__ import annotations

import posixpath
import re
from dataclasses import dataclass, field

from compat.intake import limits
from compat.intake.cells import DATE_FLAW, Flaw, column_index, shown
from compat.intake.package import Package, local, new_parser

_REFERENCE = re.compile(r"([A-Z]{1,3})([1-9][0-9]{0,6})")
_RECALCULATE = "Recalculate the workbook and save it, or paste the cell as a value"


@dataclass(slots=True)
class SheetFacts:
    """Facts by row and column index from 0. ``too_large`` is a sentence, empty when it is not."""

    flaws: dict[tuple[int, int], Flaw] = field(default_factory=dict)
    formulas: set[tuple[int, int]] = field(default_factory=set)
    hidden_rows: set[int] = field(default_factory=set)
    hidden_columns: set[int] = field(default_factory=set)
    too_large: str = ""


class _TooLarge(Exception):
    pass


def sheet_parts(package: Package) -> list[str]:
    """The part of each sheet, in the order of the workbook."""
    targets: dict[str, str] = {}
    ids: list[str] = []

    def start_relation(name: str, attributes: dict[str, str]) -> None:
        if local(name) == "Relationship":
            targets[attributes.get("Id", "")] = attributes.get("Target", "")

    def start_sheet(name: str, attributes: dict[str, str]) -> None:
        if local(name) == "sheet":
            ids.extend(text for key, text in attributes.items() if local(key) == "id")

    for part, handler in (
        ("xl/_rels/workbook.xml.rels", start_relation),
        ("xl/workbook.xml", start_sheet),
    ):
        parser = new_parser()
        parser.StartElementHandler = handler
        package.feed(part, parser)
    # A target is relative to the folder of the workbook part, or absolute with a leading stroke.
    return [posixpath.normpath(posixpath.join("/xl", targets.get(i, "")))[1:] for i in ids]


def shared_text_lengths(package: Package) -> list[int]:
    """The length of every shared text, to know how much text a sheet unfolds to."""
    lengths: list[int] = []

    def start(name: str, _: dict[str, str]) -> None:
        if local(name) == "si":
            lengths.append(0)

    def text(characters: str) -> None:
        if lengths:
            lengths[-1] += len(characters)

    parser = new_parser()
    parser.StartElementHandler = start
    parser.CharacterDataHandler = text
    package.feed("xl/sharedStrings.xml", parser)
    return lengths


def scan_sheet(package: Package, part: str, shared: list[int]) -> SheetFacts:
    """Read a sheet's XML through; stops early when the sheet is too large."""
    scan = _Scan(shared)
    parser = new_parser()
    parser.StartElementHandler = scan.start
    parser.EndElementHandler = scan.end
    parser.CharacterDataHandler = scan.text
    try:
        package.feed(part, parser)
    except _TooLarge as error:
        scan.facts.too_large = str(error)
    return scan.facts


class _Scan:
    def __init__(self, shared: list[int]) -> None:
        self.facts = SheetFacts()
        self._shared = shared
        self._unfolded = 0
        self._rows = self._last_row = self._last_column = 0
        self._counted_row = -1
        self._row = self._column = -1
        self._type = ""
        self._formula = self._has_value = self._in_value = False
        self._value = ""

    def start(self, name: str, attributes: dict[str, str]) -> None:
        name = local(name)
        if name == "c":
            self._start_cell(attributes)
        elif name == "f":
            self._formula = True
        elif name in ("v", "is"):
            self._has_value = True
            self._in_value = name == "v"
        elif name == "row":
            self._start_row(attributes)
        elif name == "col" and attributes.get("hidden") in ("1", "true"):
            first, last = (_whole(attributes.get(key, "")) for key in ("min", "max"))
            self.facts.hidden_columns.update(range(first - 1, min(last, limits.COLUMNS)))

    def text(self, characters: str) -> None:
        if self._in_value:
            self._value += characters

    def end(self, name: str) -> None:
        name = local(name)
        if name == "v":
            self._in_value = False
        elif name == "c" and (self._has_value or self._formula):
            self._end_cell()

    def _start_row(self, attributes: dict[str, str]) -> None:
        self._row = _whole(attributes["r"]) - 1 if "r" in attributes else self._row + 1
        self._column = -1
        if attributes.get("hidden") in ("1", "true"):
            self.facts.hidden_rows.add(self._row)

    def _start_cell(self, attributes: dict[str, str]) -> None:
        self._type = attributes.get("t", "")
        self._formula = self._has_value = False
        self._value = ""
        if "r" not in attributes:
            self._column += 1
            return
        found = _REFERENCE.fullmatch(attributes["r"])
        if not found or int(found[2]) > 1_048_576:
            raise _TooLarge(f"the sheet has a cell with the address {shown(attributes['r'])}")
        self._row, self._column = int(found[2]) - 1, column_index(found[1])

    def _end_cell(self) -> None:
        if self._row != self._counted_row:
            self._counted_row = self._row
            self._rows += 1
        self._last_row = max(self._last_row, self._row + 1)
        self._last_column = max(self._last_column, self._column + 1)
        if self._type == "s":
            index = _whole(self._value)
            self._unfolded += self._shared[index] if index < len(self._shared) else 0
        self._check_size()
        self._judge((self._row, self._column))

    def _check_size(self) -> None:
        if self._rows > limits.ROWS + limits.HEADER_SEARCH_ROWS:
            raise _TooLarge(f"the sheet has more than {limits.ROWS} rows")
        if self._last_row * self._last_column > limits.SHEET_CELLS:
            raise _TooLarge(
                f"the sheet reaches to row {self._last_row} and column {self._last_column}, more "
                f"than {limits.SHEET_CELLS} cells"
            )
        if self._unfolded > limits.UNPACKED_BYTES:
            raise _TooLarge("the sheet holds too much text")

    def _judge(self, cell: tuple[int, int]) -> None:
        """A flaw for an error and for a formula without a result that can be trusted."""
        if self._type == "e":
            what = f"the cell holds the error {shown(self._value)}"
            self.facts.flaws[cell] = Flaw(what, "Mend the formula, or write the value itself")
        elif self._type == "d":
            self.facts.flaws[cell] = DATE_FLAW
        elif self._formula and not (self._value or (self._has_value and self._type == "str")):
            what = "the cell holds a formula that was never calculated"
            self.facts.flaws[cell] = Flaw(what, _RECALCULATE)
        elif self._formula and self._type in ("", "n") and _is_zero(self._value):
            what = "the cell holds a formula whose stored result is 0, as if never calculated"
            self.facts.flaws[cell] = Flaw(what, _RECALCULATE, idle=True)
        elif self._formula and self._value:
            self.facts.formulas.add(cell)


def _is_zero(value: str) -> bool:
    return re.fullmatch(r"[+-]?0*\.?0*(?:[eE][+-]?[0-9]+)?", value) is not None


def _whole(text: str) -> int:
    return int(text) if re.fullmatch("[0-9]{1,9}", text) else 0
