"""The questions of a report as a workbook to send: a sheet for each enquiry, with empty cells for answers."""

from __future__ import annotations

import datetime
import io
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from compat.model.answers import ANSWER, HEADINGS, answerable
from compat.model.report import Question, Report
from compat.model.vocabulary import TraitDefinition, Vocabulary
from compat.report.words import clean

# No clock in the file: the same report gives the same bytes.
_CREATED = datetime.datetime(2000, 1, 1)
_WIDTHS = (24, 64, 36, 24, 18, 8, 22, 10, 24, 30)
_NOT_IN_NAMES = re.compile(r"[\[\]:*?/\\']")
LONGEST_NAME, LONGEST_LIST = 31, 255
LEAD = "Write into the column Answer only; leave a cell empty where the answer is not known."


@dataclass(frozen=True, slots=True)
class _Row:
    """One question about one thing, with the circuits it is of."""

    about: str
    question: Question
    circuits: Sequence[str]
    taken: str = ""


def render_questions(report: Report, vocabulary: Vocabulary) -> bytes:
    """The workbook; ``compat check --answers`` reads it back. No text in it is a formula."""
    import xlsxwriter  # type: ignore[import-untyped]

    data = io.BytesIO()
    options = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False}
    with xlsxwriter.Workbook(data, options) as book:
        book.set_properties({"title": f"Questions on {report.schedule}", "created": _CREATED})
        bold = book.add_format({"bold": True, "text_wrap": True, "valign": "top", "bottom": 1})
        wrapped = book.add_format({"text_wrap": True, "valign": "top"})
        empty = book.add_format({"bg_color": "#FFF7D6", "border": 1, "num_format": "@", "valign": "top"})
        for number, (title, rows) in enumerate(sheets_of(report, vocabulary), 1):
            name = _NOT_IN_NAMES.sub(" ", f"{number} {title}")[:LONGEST_NAME].strip()
            sheet = book.add_worksheet(name)
            _write(sheet, title, rows, vocabulary, (bold, wrapped, empty))
        if not report.enquiries:
            book.add_worksheet("No questions").write_string(0, 0, "Nothing is left to ask.")
    return data.getvalue()


def sheets_of(report: Report, vocabulary: Vocabulary) -> Iterator[tuple[str, list[_Row]]]:
    """The enquiries in their order, each with its rows; a line is asked about by its own name."""
    for entry in report.enquiries:
        is_site = entry.scope == "installation"
        rows = [
            row
            for question in entry.questions
            if not question.name.startswith("line.")
            for row in _rows("" if is_site else entry.about, question, entry.circuits, report)
        ]
        rows += _of_lines(report) if is_site else ()
        rows = [row for row in rows if answerable(vocabulary.traits[row.question.name])]
        if rows:
            yield entry.about[:1].upper() + entry.about[1:], rows


def _rows(about: str, question: Question, circuits: Sequence[str], report: Report) -> Iterator[_Row]:
    """A question once for all circuits that wait for it and of which the same is taken until then."""
    taken: dict[str, list[str]] = {}
    for one in report.circuits:
        asked = {question.name for question in one.questions}
        if one.circuit in circuits and question.name in asked:
            usual = one.expected.usual if one.expected else []
            whose = (known for known in usual if known.name == question.name)
            told = next(
                (_brief(known.text) for known in whose if not about or known.label.endswith(about)), ""
            )
            taken.setdefault(told, []).append(one.circuit)
    if about:
        taken = {" or ".join(filter(None, taken)): [name for names in taken.values() for name in names]}
    for told, names in taken.items():
        yield _Row(about, question, names, told)


def _brief(text: str) -> str:
    """Figures in three digits, so that they can be copied as an answer."""
    return re.sub(r"[0-9]+\.[0-9]{2,}", lambda found: f"{float(found[0]):.3g}", text)


def _of_lines(report: Report) -> Iterator[_Row]:
    for line in report.lines:
        for question in line.questions:
            if question.name.startswith("line."):
                yield _Row(f"line {line.line}", question, line.circuits)


def _write(
    sheet: Any, title: str, rows: Sequence[_Row], vocabulary: Vocabulary, formats: tuple[Any, Any, Any]
) -> None:
    bold, wrapped, empty = formats
    sheet.write_string(0, 0, clean(title), bold)
    sheet.write_string(1, 0, LEAD)
    for column, (heading, width) in enumerate(zip(HEADINGS, _WIDTHS, strict=True)):
        sheet.write_string(3, column, heading, bold)
        sheet.set_column(column, column, width)
    for place, row in enumerate(rows, 4):
        trait = vocabulary.traits[row.question.name]
        for column, text in enumerate(cells_of(row, trait, vocabulary)):
            is_answer = HEADINGS[column] == ANSWER
            sheet.write_string(place, column, clean(text), empty if is_answer else wrapped)
        words = words_of(trait, vocabulary)
        if words and len(",".join(words)) <= LONGEST_LIST and not any("," in word for word in words):
            sheet.data_validation(
                place, HEADINGS.index(ANSWER), place, HEADINGS.index(ANSWER),
                {"validate": "list", "source": words, "ignore_blank": True, "error_type": "warning"},
            )  # fmt: skip
    sheet.freeze_panes(4, 2)


def cells_of(row: _Row, trait: TraitDefinition, vocabulary: Vocabulary) -> tuple[str, ...]:
    question = row.question
    asked = question.ask[: question.ask.find("?") + 1] or question.ask
    return (
        row.about,
        f"{question.label[:1].upper()}{question.label[1:]}: {asked}",
        question.where_to_find,
        question.decides,
        "",
        vocabulary.unit_symbol(trait.unit) if trait.kind == "quantity" else "",
        row.taken,
        "yes" if question.decisive else "",
        "; ".join(row.circuits),
        question.name,
    )


def words_of(trait: TraitDefinition, vocabulary: Vocabulary) -> list[str]:
    if trait.kind == "yes_no":
        return ["yes", "no"]
    return list(vocabulary.choices[trait.choices].values()) if trait.choices else []
