"""An empty schedule to fill in, as a workbook with lists to choose from or as CSV."""

from __future__ import annotations

import csv
import datetime
import io
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, Literal

from compat.intake.cells import column_letters
from compat.intake.needs_sheets import write_needs_sheets
from compat.intake.template_columns import Guide, TemplateColumn, guides, usual_columns
from compat.model.files import write_atomically
from compat.model.vocabulary import Vocabulary

# No clock in the file: the same dataset gives the same bytes.
_CREATED = datetime.datetime(2000, 1, 1)
_ROWS_WITH_LISTS = 1000
_LONGEST_LIST = 5000


def write_template(
    path: Path,
    format: Literal["xlsx", "csv"],
    vocabulary: Vocabulary,
    driver_ids: Sequence[str],
    output_ids: Sequence[str],
    project_lists: Mapping[str, Sequence[str]] | None = None,
) -> None:
    """Write an empty schedule with one example row, which ``read_schedule`` reads without fault.

    The workbook has lists to choose from, a sheet that explains every column, and the ids of
    drivers and outputs. ``project_lists`` are the words to choose from on the sheet Project, by its field.
    Raises BadInput when the file cannot be written.
    """
    columns = usual_columns(vocabulary, driver_ids, output_ids)
    lists = project_lists or {}
    write_table(path, format, columns, guides(vocabulary), "Circuits", "Circuit schedule", lists)


def write_table(
    path: Path,
    format: Literal["xlsx", "csv"],
    columns: Sequence[TemplateColumn],
    guide: Sequence[Guide],
    sheet: str,
    title: str,
    project_lists: Mapping[str, Sequence[str]] | None = None,
) -> None:
    """Write headings and an example row; a workbook also says what each column means. Raises BadInput."""
    write_atomically(
        path, _csv(columns) if format == "csv" else _xlsx(columns, guide, sheet, title, project_lists)
    )


def _csv(columns: Sequence[TemplateColumn]) -> bytes:
    """With a byte order mark, by which spreadsheet programs know UTF-8."""
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    writer.writerow([column.heading for column in columns])
    writer.writerow([column.example for column in columns])
    return text.getvalue().encode("utf-8-sig")


def _xlsx(
    columns: Sequence[TemplateColumn],
    guide: Sequence[Guide],
    sheet: str,
    title: str,
    project_lists: Mapping[str, Sequence[str]] | None,
) -> bytes:
    import xlsxwriter  # type: ignore[import-untyped]

    data = io.BytesIO()
    options = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False}
    with xlsxwriter.Workbook(data, options) as book:
        book.set_properties({"title": title, "created": _CREATED})
        bold = book.add_format({"bold": True, "text_wrap": True, "valign": "top", "bottom": 1})
        wrapped = book.add_format({"text_wrap": True, "valign": "top"})
        as_text = book.add_format({"num_format": "@"})
        table, explained, lists = map(book.add_worksheet, (sheet, "Columns", "Lists"))
        for index, column in enumerate(columns):
            table.write_string(0, index, column.heading, bold)
            table.set_column(index, index, column.width, as_text if column.is_text else None)
            _write_example(table, index, column, as_text)
            if column.choices:
                _add_list(table, lists, index, column, bold)
        table.freeze_panes(1, 1)
        _write_guide(explained, guide, bold, wrapped)
        if project_lists is not None:
            write_needs_sheets(book, bold, wrapped, project_lists)
    return data.getvalue()


def _write_example(sheet: Any, index: int, column: TemplateColumn, as_text: Any) -> None:
    if column.example and not column.is_text and column.example.replace(".", "", 1).isdigit():
        sheet.write_number(1, index, float(column.example))
    elif column.example:
        sheet.write_string(1, index, column.example, as_text)


def _add_list(sheet: Any, lists: Any, index: int, column: TemplateColumn, bold: Any) -> None:
    """The allowed words of a column on the sheet Lists, offered in each cell of the column."""
    choices = column.choices[:_LONGEST_LIST]
    lists.write_string(0, index, column.heading, bold)
    for row, word in enumerate(choices, start=1):
        lists.write_string(row, index, word)
    letters = column_letters(index)
    sheet.data_validation(
        1, index, _ROWS_WITH_LISTS, index,
        {
            "validate": "list",
            "source": f"=Lists!${letters}$2:${letters}${len(choices) + 1}",
            "ignore_blank": True,
            # Several words and words of the trade are read too, so the list only proposes.
            "show_error": column.only_choices,
            "error_title": "Not in the list",
            "error_message": "Choose from the list, or leave the cell empty.",
        },
    )  # fmt: skip


def _write_guide(sheet: Any, guide: Sequence[Guide], bold: Any, wrapped: Any) -> None:
    for index, (title, width) in enumerate(
        (("Heading", 34), ("Unit", 8), ("What it means", 60), ("Where to find it", 50),
         ("What to write", 60))
    ):  # fmt: skip
        sheet.write_string(0, index, title, bold)
        sheet.set_column(index, index, width)
    for row, line in enumerate(guide, start=1):
        for index, text in enumerate(line):
            sheet.write_string(row, index, text, wrapped)
    sheet.freeze_panes(1, 1)
