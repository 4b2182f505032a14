"""What the screens show beside the reports: the fields of a label, what was read, questions and answers."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from compat.intake.known_headings import map_text
from compat.model.answers import ABOUT, ANSWER, CIRCUITS, HEADINGS, VALUE
from compat.model.faults import Fault
from compat.model.lookup import Lookup, OutputCounts, OutputLookup
from compat.model.reading import ReadColumn, Reading
from compat.model.report import Report
from compat.model.schedule import Schedule
from compat.model.values import Origin
from compat.model.vocabulary import Vocabulary
from compat.report import lookup_words, states
from compat.report.questions_xlsx import cells_of, sheets_of, words_of
from compat.report.reading import spot_text
from compat.report.template import template

MOST_LISTED = 200
LEAVE_OUT = ""


@dataclass(frozen=True, slots=True)
class Field:
    """A field for one thing on a label: the option it states, its words, an example, the keys it wants."""

    option: str
    label: str
    example: str
    keys: str = "text"


LABEL = (
    Field("--watts", "Input power, W", "12 or 11-13", "decimal"),
    Field("--current", "Input current", "0.06 A or 60 mA"),
    Field("--power-factor", "Power factor", "0.9", "decimal"),
    Field("--method", "Dimming words", "trailing edge; DALI; 0-10 V"),
    Field("--inrush", "Inrush peak and width", "28 A / 380 us"),
    Field("--voltage", "Input voltage, V", "220-240"),
    Field("--load-type", "What it is", "LED driver, constant current"),
    Field("--dim-floor", "Lowest level, %", "5", "decimal"),
)


def told_of(output: OutputCounts) -> dict[str, str]:
    """What is to hand: how many it takes, and what stops more."""
    told = output.told
    stop = told.most_bound
    expected = lookup_words.expected_window(output)
    if output.best == "works":
        takes = f"works with {lookup_words.window_of_counts(output)}"
    else:
        takes = f"expected to work with {expected}; no proof" if expected else output.best
    because = stop.because if stop else told.ranges[0].because if told.ranges else ""
    return {"name": output.name, "takes": takes, "because": because}


def by_label(fault: Fault) -> Fault:
    """A fault of a look-up at the field of the page in place of the option."""
    label = next((field.label for field in LABEL if field.option == fault.where.key), None)
    return fault if label is None else replace(fault, where=Origin(label))


def named_by_label(lookup: Lookup) -> Lookup:
    """A look-up whose driver is called by its label in place of the command line."""
    name = lookup.driver_name.replace("as stated on the command line", "by its label")
    return replace(lookup, driver_name=name.replace("stated on the command line", "stated by its label"))


def output_html(found: OutputLookup) -> str:
    """An output with how many of each driver it takes."""
    return template("output.html.j2").render(found=found)


def reading_of(read: Schedule, vocabulary: Vocabulary) -> dict[str, Any]:
    """Every heading with what it was read as, what was left out, and the columns there are."""
    reading = read.reading
    columns = [
        {
            "heading": column.heading,
            "where": spot_text(column.place),
            "column": column.name,
            "label": column.label,
            "guessed": column.score is not None,
        }
        for column in reading.columns
    ]
    left = [
        {"heading": one.text, "where": spot_text(one.place), "column": LEAVE_OUT, "label": "", "why": one.why}
        for one in reading.columns_left_out
        if one.text.strip()
    ]
    return {
        "rows": len(read.rows),
        "circuits": len({row.circuit for row in read.rows}),
        "headings": columns + left,
        "columns": _columns(vocabulary),
        "unread": [
            {
                "text": w.text,
                "heading": w.heading,
                "count": w.count,
                "where": spot_text(w.first),
                "what": w.what,
            }
            for w in reading.unread[:MOST_LISTED]
        ],
        "rows_left_out": [
            {"text": one.text, "where": spot_text(one.place), "why": one.why}
            for one in reading.rows_left_out[:MOST_LISTED]
        ],
        "notes": list(read.notes),
    }


def _columns(vocabulary: Vocabulary) -> list[dict[str, str]]:
    from compat.intake.headings import Headings

    found = {name: column.label for name, column in Headings(vocabulary).columns.items()}
    return [{"name": name, "label": label} for name, label in sorted(found.items(), key=lambda one: one[1])]


def map_toml(mended: Mapping[str, str]) -> bytes:
    """The headings as the person reads them, as the map file that ``--map`` reads."""
    nowhere = Origin("")
    columns = tuple(ReadColumn(heading, nowhere, name, "", "") for heading, name in mended.items())
    return map_text(Reading(columns=columns)).encode()


def questions_of(report: Report, vocabulary: Vocabulary) -> list[dict[str, Any]]:
    """What to ask, by whom it is about, with the words or unit that an answer takes."""
    found = []
    for title, rows in sheets_of(report, vocabulary):
        asked = []
        for row in rows:
            trait = vocabulary.traits[row.question.name]
            told = dict(zip(HEADINGS, cells_of(row, trait, vocabulary), strict=True))
            words = words_of(trait, vocabulary) if trait.kind in ("choice", "yes_no") else []
            asked.append({"told": told, "words": words})
        found.append({"title": title, "asked": asked})
    return found


def answers_csv(answers: Iterable[Mapping[str, str]]) -> bytes:
    """The answers given in place, as the table of questions that ``--answers`` reads."""
    names = (ABOUT, CIRCUITS, VALUE, ANSWER)
    buffer = io.StringIO()
    writer = csv.writer(buffer, lineterminator="\n")
    writer.writerow(names)
    writer.writerows([one.get(name, "") for name in names] for one in answers)
    return buffer.getvalue().encode()


def states_of(report: Report) -> dict[str, str]:
    """The state of every circuit by its name."""
    return {circuit.circuit: states.state_of(circuit) for circuit in report.circuits}
