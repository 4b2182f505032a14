"""A comparison of two editions as plain text."""

from __future__ import annotations

from collections.abc import Iterator

from compat.model.changes import Change, Changes, ScheduleMoves
from compat.report.changes_words import (
    because_text,
    by_level,
    by_part,
    edition_text,
    field_text,
    move_text,
    moves_title,
    refusals,
    title_text,
    told,
    version_text,
)
from compat.report.lines import STRONG, Line, line, listed
from compat.report.page import render_lines


def render_changes_text(changes: Changes, width: int, colour: bool) -> str:
    """The comparison in lines of at most ``width`` cells: the version first, then changes and moves."""
    return render_lines(_lines(changes), width, colour)


def _lines(changes: Changes) -> Iterator[Line]:
    step = changes.version_step
    yield line((title_text(changes), STRONG))
    yield line(version_text(changes), lead=("" if step.suffices else "FAULT: ", "bold red"))
    if step.because:
        yield line(because_text(changes), lead="Because of: ")
    yield line(edition_text(changes.old), lead="old: ")
    yield line(edition_text(changes.new), lead="new: ")
    for part, kinds in by_part(changes.entries):
        yield line()
        yield line((part, STRONG))
        for kind, entries in kinds:
            yield line((kind, STRONG), indent=2)
            for text, change in told(entries):
                yield from _change(text, change)
    for schedule in changes.schedules:
        yield line()
        yield from _schedule(schedule)


def _change(text: str, change: Change | None) -> Iterator[Line]:
    yield line(text, indent=4, lead="- ")
    if change is None:
        return
    for field in change.fields:
        yield line(field_text(field), indent=8)
    if change.points is not None and change.points.example:
        yield line(change.points.example, indent=8, lead="for example: ")


def _schedule(schedule: ScheduleMoves) -> Iterator[Line]:
    yield line((moves_title(schedule), STRONG))
    refused = list(refusals(schedule))
    for heading, sentences in refused:
        yield from listed(heading, sentences, 2)
    if not schedule.moves and not refused:
        yield line("none", indent=2)
    for level, rules in by_level(schedule):
        yield line((level, STRONG), indent=2)
        for rule, moves in rules:
            yield line(rule, indent=4)
            for move in moves:
                yield line(move_text(move), indent=6, lead="- ")
