"""Ways to make files as practices send them: workbooks, text files, open documents, old workbooks."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any
from xml.sax.saxutils import escape, quoteattr

import xlsxwriter  # type: ignore[import-untyped]

Rows = Sequence[Sequence[Any]]
Make = Callable[[Path], Path]
Fill = Callable[[Any, Mapping[str, Any]], object]


def text(content: str, name: str = "schedule.csv", encoding: str = "utf-8") -> Make:
    """A text file."""

    def make(folder: Path) -> Path:
        path = folder / name
        path.write_bytes(content.encode(encoding))
        return path

    return make


def raw(content: bytes, name: str = "schedule.csv") -> Make:
    """A file of bytes."""

    def make(folder: Path) -> Path:
        path = folder / name
        path.write_bytes(content)
        return path

    return make


def book(sheets: Mapping[str, Rows], fill: Fill | None = None, name: str = "schedule.xlsx") -> Make:
    """A workbook; ``fill`` writes more into it, given the workbook and its sheets by name."""

    def make(folder: Path) -> Path:
        path = folder / name
        with xlsxwriter.Workbook(path) as made:
            known = {title: made.add_worksheet(title) for title in sheets}
            for title, rows in sheets.items():
                for index, row in enumerate(rows):
                    known[title].write_row(index, 0, row)
            if fill:
                fill(made, known)
        return path

    return make


def old_book(sheets: Mapping[str, Rows], formats: Mapping[tuple[int, int], str] | None = None) -> Make:
    """A workbook of the old binary format; ``formats`` gives number formats by row and column."""

    def make(folder: Path) -> Path:
        import xlwt  # type: ignore[import-untyped]

        made = xlwt.Workbook()
        for title, rows in sheets.items():
            sheet = made.add_sheet(title)
            for index, row in enumerate(rows):
                for column, value in enumerate(row):
                    style = xlwt.Style.default_style
                    if formats and (index, column) in formats:
                        style = xlwt.XFStyle()
                        style.num_format_str = formats[index, column]
                    if value is not None:
                        sheet.write(index, column, value, style)
        path = folder / "schedule.xls"
        made.save(str(path))
        return path

    return make


class Styled(tuple[float, str]):
    """A number of an open document with the name of its cell style."""


_STYLES = """
<number:percentage-style style:name="N11"><number:number number:min-integer-digits="1"/>
<number:text>%</number:text></number:percentage-style>
<number:number-style style:name="N12"><number:number number:min-integer-digits="1"/>
<number:text> mA</number:text></number:number-style>
<style:style style:name="percent" style:family="table-cell" style:data-style-name="N11"/>
<style:style style:name="milliamps" style:family="table-cell" style:data-style-name="N12"/>"""
_SPACES = " ".join(
    f'xmlns:{name}="urn:oasis:names:tc:opendocument:xmlns:{space}:1.0"'
    for name, space in (
        ("office", "office"), ("table", "table"), ("text", "text"), ("style", "style"),
        ("number", "datastyle"),
    )
)  # fmt: skip


_MANIFEST = 'xmlns:manifest="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0"'


def open_book(sheets: Mapping[str, Rows]) -> Make:
    """An open document with one table for each sheet."""

    def cell(value: object) -> str:
        if value is None or value == "":
            return "<table:table-cell/>"
        if isinstance(value, Styled):
            figure, style = value
            kind = "percentage" if style == "percent" else "float"
            return (
                f'<table:table-cell table:style-name="{style}" office:value-type="{kind}" '
                f'office:value="{figure!r}"><text:p>x</text:p></table:table-cell>'
            )
        if isinstance(value, int | float):
            return (
                f'<table:table-cell office:value-type="float" office:value="{value!r}">'
                f"<text:p>{value}</text:p></table:table-cell>"
            )
        shown = escape(str(value))
        return f'<table:table-cell office:value-type="string"><text:p>{shown}</text:p></table:table-cell>'

    def make(folder: Path) -> Path:
        tables = "".join(
            f"<table:table table:name={quoteattr(title)}>"
            + "".join(f"<table:table-row>{''.join(map(cell, row))}</table:table-row>" for row in rows)
            + "</table:table>"
            for title, rows in sheets.items()
        )
        content = (
            f"<office:document-content {_SPACES}><office:automatic-styles>{_STYLES}</office:automatic-styles>"
            f"<office:body><office:spreadsheet>{tables}</office:spreadsheet></office:body>"
            "</office:document-content>"
        )
        made = io.BytesIO()
        with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as package:
            package.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
            package.writestr("content.xml", content)
            package.writestr("META-INF/manifest.xml", f"<manifest:manifest {_MANIFEST}/>")
        path = folder / "schedule.ods"
        path.write_bytes(made.getvalue())
        return path

    return make
