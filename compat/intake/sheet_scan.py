"""A sheet of an XLSX workbook read from its XML: texts, number formats, formulas, what is hidden or
struck out, and its true size, in one pass and without keeping the XML."""

from __future__ import annotations

import posixpath
import re
from dataclasses import dataclass, field
from typing import NamedTuple

from compat.intake import limits
from compat.intake.cells import DATE_FLAW, Flaw, Merge, column_index, shown
from compat.intake.number_format import BUILT_IN, number_text
from compat.intake.package import Package, local, new_parser
from compat.intake.raw_sheet import RawSheet, TooLarge

_REFERENCE = re.compile(r"([A-Z]{1,3})([1-9][0-9]{0,6})")
_RECALCULATE = "Recalculate the workbook and save it, or paste the cell as a value"
_TRUE = ("1", "true")


class SheetPart(NamedTuple):
    """A sheet as the workbook lists it."""

    name: str
    part: str
    is_hidden: bool
    is_worksheet: bool


@dataclass(slots=True)
class Shared:
    """The shared texts, and the places of those that are struck out as a whole."""

    texts: list[str] = field(default_factory=list)
    struck: set[int] = field(default_factory=set)


@dataclass(slots=True)
class Styles:
    """For each cell style its number format and whether its font is struck out."""

    formats: list[str] = field(default_factory=list)
    struck: list[bool] = field(default_factory=list)


def sheet_parts(package: Package) -> list[SheetPart]:
    """The sheets in the order of the workbook."""
    targets: dict[str, tuple[str, str]] = {}
    sheets: list[tuple[str, str, bool]] = []

    def start_relation(name: str, attributes: dict[str, str]) -> None:
        if local(name) == "Relationship":
            kind = attributes.get("Type", "")
            targets[attributes.get("Id", "")] = attributes.get("Target", ""), kind

    def start_sheet(name: str, attributes: dict[str, str]) -> None:
        if local(name) == "sheet":
            ids = (text for key, text in attributes.items() if local(key) == "id")
            hidden = attributes.get("state", "visible") != "visible"
            sheets.append((attributes.get("name", ""), next(ids, ""), hidden))

    for part, handler in (
        ("xl/_rels/workbook.xml.rels", start_relation),
        ("xl/workbook.xml", start_sheet),
    ):
        parser = new_parser()
        parser.StartElementHandler = handler
        package.feed(part, parser)
    found = []
    for name, relation, hidden in sheets:
        target, kind = targets.get(relation, ("", ""))
        # A target is relative to the folder of the workbook part, or absolute with a leading stroke.
        part = posixpath.normpath(posixpath.join("/xl", target))[1:]
        found.append(SheetPart(name, part, hidden, kind.endswith("/worksheet") and package.has(part)))
    return found


def shared_texts(package: Package) -> Shared:
    """Every shared text; runs that are struck out are left out of a text that has others.

    The count that the part states is not used: a forged one would reserve memory for nothing.
    """
    shared = Shared()
    pieces: list[tuple[str, bool]] = []
    inside = {"t": False, "rPh": False, "struck": False}

    def start(name: str, attributes: dict[str, str]) -> None:
        name = local(name)
        if name == "si":
            pieces.clear()
            inside["struck"] = False
        elif name == "r":
            inside["struck"] = False
        elif name == "strike":
            inside["struck"] = attributes.get("val", "1") in _TRUE
        elif name in inside:
            inside[name] = True

    def end(name: str) -> None:
        name = local(name)
        if name == "si":
            standing = [text for text, struck in pieces if not struck]
            if pieces and not any(text.strip() for text in standing):
                shared.struck.add(len(shared.texts))
                standing = [text for text, _ in pieces]
            shared.texts.append("".join(standing))
        elif name in ("t", "rPh"):
            inside[name] = False

    def text(characters: str) -> None:
        if inside["t"] and not inside["rPh"]:
            pieces.append((characters, inside["struck"]))

    parser = new_parser()
    parser.StartElementHandler, parser.EndElementHandler = start, end
    parser.CharacterDataHandler = text
    package.feed("xl/sharedStrings.xml", parser)
    return shared


def cell_styles(package: Package) -> Styles:
    """The styles that cells name by their place; none when the workbook has no such part."""
    codes: dict[str, str] = {}
    fonts: list[bool] = []
    styles: list[tuple[str, int]] = []
    where = [""]

    def start(name: str, attributes: dict[str, str]) -> None:
        name = local(name)
        if name in ("cellXfs", "fonts", "cellStyleXfs", "dxfs"):
            where[0] = name
        elif name == "numFmt" and where[0] != "dxfs":
            codes[attributes.get("numFmtId", "")] = attributes.get("formatCode", "")
        elif name == "font" and where[0] == "fonts":
            fonts.append(False)
        elif name == "strike" and where[0] == "fonts" and fonts:
            fonts[-1] = attributes.get("val", "1") in _TRUE
        elif name == "xf" and where[0] == "cellXfs":
            styles.append((attributes.get("numFmtId", "0"), _whole(attributes.get("fontId", "0"))))

    parser = new_parser()
    parser.StartElementHandler = start
    package.feed("xl/styles.xml", parser)
    return Styles(
        [codes.get(number) or BUILT_IN.get(_whole(number), "General") for number, _ in styles],
        [fonts[font] if font < len(fonts) else False for _, font in styles],
    )


def scan_sheet(package: Package, sheet: SheetPart, shared: Shared, styles: Styles) -> RawSheet:
    """Read a sheet's XML through; stops early when the sheet is too large. Raises BadInput."""
    scan = _Scan(RawSheet(sheet.name, sheet.is_hidden), package, shared, styles)
    parser = new_parser()
    parser.StartElementHandler = scan.start
    parser.EndElementHandler = scan.end
    parser.CharacterDataHandler = scan.text
    try:
        package.feed(sheet.part, parser)
    except TooLarge as error:
        scan.raw.too_large = str(error)
    return scan.raw


class _Scan:
    __slots__ = (
        "_column", "_formula", "_in_text", "_package", "_pieces", "_row", "_shared", "_style", "_styles",
        "_texts", "_type", "_valued", "raw",
    )  # fmt: skip

    def __init__(self, raw: RawSheet, package: Package, shared: Shared, styles: Styles) -> None:
        self.raw, self._package, self._shared, self._styles = raw, package, shared, styles
        self._row = self._column = -1
        self._type, self._style = "", 0
        self._formula = self._in_text = self._valued = False
        self._pieces: list[str] = []
        self._texts: dict[tuple[str, int], str | Flaw] = {}

    def start(self, name: str, attributes: dict[str, str]) -> None:
        name = local(name)
        if name == "c":
            self._start_cell(attributes)
        elif name == "v" or name == "t":
            self._in_text = self._valued = True
        elif name == "f":
            self._formula = True
        elif name == "row":
            self._row = _whole(attributes["r"]) - 1 if "r" in attributes else self._row + 1
            self._column = -1
            if attributes.get("hidden") in _TRUE:
                self.raw.hidden_rows.add(self._row)
        elif name == "col" and attributes.get("hidden") in _TRUE:
            first, last = (_whole(attributes.get(key, "")) for key in ("min", "max"))
            self.raw.hidden_columns.update(range(first - 1, min(last, limits.COLUMNS)))
        elif name == "mergeCell":
            self._merge(attributes.get("ref", ""))

    def text(self, characters: str) -> None:
        if self._in_text:
            self._pieces.append(characters)

    def end(self, name: str) -> None:
        name = local(name)
        if name == "v" or name == "t":
            self._in_text = False
        elif name == "c" and (self._valued or self._formula):
            self._end_cell()

    def _start_cell(self, attributes: dict[str, str]) -> None:
        self._type = attributes.get("t", "n")
        self._style = _whole(attributes["s"]) if "s" in attributes else 0
        self._formula = self._valued = self._in_text = False
        self._pieces = []
        if "r" not in attributes:
            self._column += 1
            return
        self._row, self._column = _cell(attributes["r"])

    def _end_cell(self) -> None:
        value = "".join(self._pieces)
        row, column, raw = self._row, self._column, self.raw
        struck = self._style < len(self._styles.struck) and self._styles.struck[self._style]
        if self._type == "s":
            index = _whole(value)
            if index >= len(self._shared.texts):
                do = "Open it in a spreadsheet program and save it again as .xlsx"
                raise self._package.bad("the workbook is damaged: a shared text is not there", do)
            struck = struck or index in self._shared.struck
            text = self._shared.texts[index]
        elif self._type == "n":
            text = self._number(value)
        else:
            text = {"b": "true" if value in _TRUE else "false"}.get(self._type, value)
        if struck:
            raw.struck.add((row, column))
        raw.add(row, column, text)
        if self._formula or self._type in ("e", "d"):
            self._judge((row, column), value)

    def _number(self, value: str) -> str:
        """The text of a number by its format; remembered, since columns repeat."""
        key = value, self._style
        found = self._texts.get(key)
        if found is None:
            formats = self._styles.formats
            code = formats[self._style] if self._style < len(formats) else "General"
            found = self._texts[key] = number_text(value, code) if value else ""
        if isinstance(found, Flaw):
            self.raw.flaws[self._row, self._column] = found
            return value
        return found

    def _judge(self, cell: tuple[int, int], value: str) -> None:
        """A flaw for an error and for a formula without a result that can be trusted."""
        if self._type == "e":
            what = f"the cell holds the error {shown(value)}"
            self.raw.flaws[cell] = Flaw(what, "Mend the formula, or write the value itself")
        elif self._type == "d":
            self.raw.flaws[cell] = DATE_FLAW
        elif not (value or (self._valued and self._type == "str")):
            what = "the cell holds a formula that was never calculated"
            self.raw.flaws[cell] = Flaw(what, _RECALCULATE)
        elif self._type == "n" and _is_zero(value):
            what = "the cell holds a formula whose stored result is 0, as if never calculated"
            self.raw.flaws[cell] = Flaw(what, _RECALCULATE, idle=True)
        elif value:
            self.raw.formulas.add(cell)

    def _merge(self, reference: str) -> None:
        first, _, last = reference.partition(":")
        if _REFERENCE.fullmatch(first) and _REFERENCE.fullmatch(last):
            (top, left), (bottom, right) = _cell(first), _cell(last)
            self.raw.merges.append(Merge(top, left, bottom, right))


def _cell(reference: str) -> tuple[int, int]:
    found = _REFERENCE.fullmatch(reference)
    if not found or int(found[2]) > limits.SHEET_ROWS:
        raise TooLarge(f"the sheet has a cell with the address {shown(reference)}")
    return int(found[2]) - 1, column_index(found[1])


def _is_zero(value: str) -> bool:
    return re.fullmatch(r"[+-]?0*\.?0*(?:[eE][+-]?[0-9]+)?", value) is not None


def _whole(text: str) -> int:
    return int(text) if text.isdecimal() and len(text) < 10 else 0
