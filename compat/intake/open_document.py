"""Sheets of an OpenDocument workbook (ODS, ISO/IEC 26300) read from its XML in one pass."""

from __future__ import annotations

from dataclasses import dataclass, field

from compat.intake import limits
from compat.intake.cells import DATE_FLAW, Flaw, Merge, shown
from compat.intake.number_format import number_text
from compat.intake.package import Package, local, new_parser
from compat.intake.raw_sheet import RawSheet, TooLarge

_DATA_STYLES = ("number-style", "percentage-style", "currency-style", "date-style", "time-style")
_ROWS = ("table-row",)
_CELLS = ("table-cell", "covered-table-cell")


@dataclass(slots=True)
class _Styles:
    """Number formats by the name of their style, written as spreadsheets write them."""

    codes: dict[str, str] = field(default_factory=dict)
    data_style: dict[str, str] = field(default_factory=dict)
    parents: dict[str, str] = field(default_factory=dict)
    struck: set[str] = field(default_factory=set)
    hidden_tables: set[str] = field(default_factory=set)

    def code(self, style: str) -> str:
        """The number format of a cell style, its parents' where it has none of its own."""
        for _ in range(10):
            if style in self.data_style:
                return self.codes.get(self.data_style[style], "General")
            style = self.parents.get(style, "")
        return "General"


def read_open_document(package: Package) -> list[RawSheet]:
    """The sheets of a workbook, hidden ones too. Raises BadInput when its XML is damaged."""
    styles = _Styles()
    for part in ("styles.xml", "content.xml"):
        reader = _StyleReader(styles)
        parser = new_parser()
        parser.StartElementHandler, parser.EndElementHandler = reader.start, reader.end
        parser.CharacterDataHandler = reader.text
        package.feed(part, parser)
    scan = _Scan(styles)
    parser = new_parser()
    parser.StartElementHandler, parser.EndElementHandler = scan.start, scan.end
    parser.CharacterDataHandler = scan.text
    package.feed("content.xml", parser)
    return scan.sheets


class _StyleReader:
    def __init__(self, styles: _Styles) -> None:
        self._styles = styles
        self._name = self._style = ""
        self._code: list[str] = []
        self._in_text = False

    def start(self, name: str, attributes: dict[str, str]) -> None:
        name = local(name)
        attributes = {local(key): value for key, value in attributes.items()}
        styles = self._styles
        if name in _DATA_STYLES:
            self._name, self._code = attributes.get("name", ""), []
        elif name == "number" and self._name:
            self._code.append("0" * _whole(attributes.get("min-integer-digits", "1"), 1) + ".0")
            if attributes.get("display-factor", "1") != "1":
                self._code.append(",")
        elif name in ("fraction", "scientific-number") and self._name:
            self._code.append("0.0")
        elif name in ("year", "month", "day", "hours", "minutes", "seconds", "era") and self._name:
            self._code.append("yyyy")
        elif name in ("text", "currency-symbol") and self._name:
            self._in_text = True
        elif name == "style":
            self._style = attributes.get("name", "")
            if "data-style-name" in attributes:
                styles.data_style[self._style] = attributes["data-style-name"]
            if "parent-style-name" in attributes:
                styles.parents[self._style] = attributes["parent-style-name"]
        elif name == "text-properties" and attributes.get("text-line-through-style", "none") != "none":
            styles.struck.add(self._style)
        elif name == "table-properties" and attributes.get("display") == "false":
            styles.hidden_tables.add(self._style)

    def text(self, characters: str) -> None:
        if self._in_text:
            # A sign of percent scales only outside quotes.
            quoted = characters.replace('"', "")
            self._code.append("%" if quoted.strip() == "%" else f'"{quoted}"')

    def end(self, name: str) -> None:
        name = local(name)
        if name in ("text", "currency-symbol"):
            self._in_text = False
        elif name in _DATA_STYLES:
            code = "".join(self._code)
            integer = code.replace(".0", "") if set(code) <= set("0.%") else code
            self._styles.codes[self._name] = integer
            self._name = ""


class _Scan:
    def __init__(self, styles: _Styles) -> None:
        self.sheets: list[RawSheet] = []
        self._styles = styles
        self._row = self._column = self._columns = 0
        self._row_repeat = 1
        self._cell: dict[str, str] = {}
        self._pieces: list[str] = []
        self._paragraphs = self._depth = 0
        self._in_row = self._in_cell = self._struck = False
        self._annotation = 0

    def start(self, name: str, attributes: dict[str, str]) -> None:
        name = local(name)
        attributes = {local(key): value for key, value in attributes.items()}
        if name == "table":
            self._start_table(attributes)
        elif not self.sheets or self.sheets[-1].too_large:
            return
        elif name == "table-column":
            self._start_columns(attributes)
        elif name in _ROWS:
            self._row_repeat = _whole(attributes.get("number-rows-repeated", "1"), 1)
            self._column = 0
            if attributes.get("visibility", "visible") != "visible":
                hidden = range(self._row, self._row + min(self._row_repeat, limits.ROWS))
                self.sheets[-1].hidden_rows.update(hidden)
        elif name in _CELLS:
            self._cell, self._pieces, self._paragraphs = attributes, [], 0
            self._in_cell = True
        elif name == "annotation":
            self._annotation += 1
        elif self._in_cell and name == "p":
            self._pieces += ["\n"] if self._paragraphs else []
            self._paragraphs += 1
        elif self._in_cell and name in ("s", "tab", "line-break"):
            self._pieces.append(" ")

    def text(self, characters: str) -> None:
        if self._in_cell and self._paragraphs and not self._annotation:
            self._pieces.append(characters)

    def end(self, name: str) -> None:
        name = local(name)
        if name == "annotation":
            self._annotation -= 1
        elif name in _CELLS and self._in_cell:
            self._in_cell = False
            self._end_cell()
        elif name in _ROWS:
            self._row += self._row_repeat

    def _start_table(self, attributes: dict[str, str]) -> None:
        hidden = attributes.get("style-name", "") in self._styles.hidden_tables
        self.sheets.append(RawSheet(attributes.get("name", ""), hidden))
        self._row = self._column = self._columns = 0

    def _start_columns(self, attributes: dict[str, str]) -> None:
        count = _whole(attributes.get("number-columns-repeated", "1"), 1)
        if attributes.get("visibility", "visible") != "visible":
            last = min(self._columns + count, limits.COLUMNS)
            self.sheets[-1].hidden_columns.update(range(self._columns, last))
        self._columns += count

    def _end_cell(self) -> None:
        repeat = _whole(self._cell.get("number-columns-repeated", "1"), 1)
        first, self._column = self._column, self._column + repeat
        raw = self.sheets[-1]
        text = "".join(self._pieces)
        if not (text.strip() or self._cell.get("value") or self._cell.get("formula")):
            return
        shown_text = self._content(text)
        struck = self._cell.get("style-name", "") in self._styles.struck
        try:
            for row in range(self._row, self._row + self._row_repeat):
                for column in range(first, first + repeat):
                    self._keep(raw, (row, column), shown_text, struck)
        except TooLarge as error:
            raw.too_large = str(error)

    def _keep(self, raw: RawSheet, place: tuple[int, int], content: str | Flaw, struck: bool) -> None:
        row, column = place
        raw.add(row, column, "?" if isinstance(content, Flaw) else content)
        if isinstance(content, Flaw):
            raw.flaws[place] = content
        elif "formula" in self._cell:
            raw.formulas.add(place)
        if struck:
            raw.struck.add(place)
        down = _whole(self._cell.get("number-rows-spanned", "1"), 1) - 1
        right = _whole(self._cell.get("number-columns-spanned", "1"), 1) - 1
        if down or right:
            raw.merges.append(Merge(row, column, row + down, column + right))

    def _content(self, text: str) -> str | Flaw:
        """The text of the cell as its type and its format give it, or what is wrong with it."""
        kind, value = self._cell.get("value-type", "string"), self._cell.get("value", "")
        if kind in ("date", "time"):
            return DATE_FLAW
        is_error = text.startswith(("#", "Err:")) and "formula" in self._cell and kind != "float"
        if is_error:
            what = f"the cell holds the error {shown(text)}"
            return Flaw(what, "Mend the formula, or write the value itself")
        if kind == "boolean":
            return self._cell.get("boolean-value", text)
        if kind == "percentage" and value:
            return number_text(value, "0%")
        if kind in ("float", "currency") and value:
            code = "General" if kind == "currency" else self._styles.code(self._cell.get("style-name", ""))
            return number_text(value, code)
        return text


def _whole(text: str, least: int) -> int:
    return max(int(text), least) if text.isdecimal() and len(text) < 10 else least
