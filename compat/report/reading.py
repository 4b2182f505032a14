"""How a schedule was read: heading to trait, cell to value, what was left out and what was guessed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from compat.engine.subject import content_text
from compat.model.schedule import Schedule, ScheduleRow
from compat.model.values import Origin, Trait
from compat.model.vocabulary import Vocabulary
from compat.report.words import clean

NO_USE = "not known, or of no use here"


def render_reading(schedule: Schedule, vocabulary: Vocabulary) -> str:
    """The reading of a schedule as plain text, the headings first and then every value with its cell."""
    reading = schedule.reading
    circuits = len({row.circuit for row in schedule.rows})
    lines = [f"{clean(schedule.file)}: {len(schedule.rows)} rows read, {circuits} circuits", ""]
    columns = [
        (
            spot_text(column.place),
            column.heading,
            column.label,
            vocabulary.unit_symbol(column.unit) if column.unit else "",
            "" if column.score is None else f"guessed, {column.score:.0f} of 100",
        )
        for column in reading.columns
    ]
    lines += ["Headings", *_table(("where", "heading", "read as", "unit", ""), columns), ""]
    if reading.columns_left_out:
        left = [(spot_text(e.place), e.text, e.why or NO_USE) for e in reading.columns_left_out]
        lines += ["Columns left out", *_table(("where", "heading", "why"), left), ""]
    if reading.rows_left_out:
        rows = [(spot_text(e.place), e.text, f"the row {e.why}") for e in reading.rows_left_out]
        lines += ["Rows left out", *_table(("where", "text", "why"), rows), ""]
    if reading.unread:
        words = [(spot_text(e.first), e.text, e.heading, str(e.count), e.what) for e in reading.unread]
        lines += ["Not understood", *_table(("first", "text", "under", "cells", "why"), words), ""]
    values = [cells for row in schedule.rows for cells in _values(row, vocabulary)]
    lines += ["Values", *_table(("where", "circuit", "what", "value"), values), ""]
    lines += [clean(note) for note in schedule.notes]
    return "\n".join(lines).rstrip() + "\n"


def _values(row: ScheduleRow, vocabulary: Vocabulary) -> Iterator[tuple[str, ...]]:
    """The values of a row, each with the cell it came from."""
    words = {
        "room": row.room, "luminaire_type": row.luminaire_type, "driver": row.driver_id or "",
        "output": row.output_id or "", "breaker": row.breaker or "", "line": row.line or "",
    }  # fmt: skip
    yield spot_text(row.origins.get("quantity")), row.circuit, "quantity", str(row.quantity)
    for name, text in words.items():
        if text:
            yield spot_text(row.origins.get(name)), row.circuit, name.replace("_", " "), text
    for subject, traits in (("driver", row.driver_traits), ("circuit", row.circuit_traits)):
        for name, trait in traits.items():
            yield spot_text(trait.origin), row.circuit, *_trait(f"{subject}.{name}", trait, vocabulary)


def _trait(name: str, trait: Trait, vocabulary: Vocabulary) -> tuple[str, str]:
    definition = vocabulary.traits[name]
    text = content_text(trait.content, definition, vocabulary)
    return definition.label, f"{text} (reckoned)" if trait.basis == "derived" else text


def spot_text(place: Origin | None) -> str:
    """The place without the file: sheet and cell, or line and column, or key."""
    if place is None:
        return ""
    if place.cell:
        return f"{place.sheet} {place.cell}" if place.sheet else place.cell
    if place.line is not None:
        return f"line {place.line}"
    return place.key or place.file


def _table(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> list[str]:
    """Lines with columns as wide as their longest cell, the last one as long as it is."""
    cleaned = [[clean(cell) for cell in row] for row in (heads, *rows)]
    widths = [min(max(len(row[i]) for row in cleaned), 40) for i in range(len(heads) - 1)]
    return [
        "  " + "  ".join([*(f"{c:{w}.{w}}" for c, w in zip(row, widths, strict=False)), row[-1]]).rstrip()
        for row in cleaned
    ]
