"""A comparison of two editions as Markdown (CommonMark), as release notes quote it."""

from __future__ import annotations

import re
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
from compat.report.words import clean

# CommonMark 0.31, section 2.4: a backslash before ASCII punctuation makes it plain. Of these only
# what can start markup inside a line; what starts a block never comes first here.
MARKUP = re.compile(r"([\\`*_<\[\]|~&])")


def render_changes_markdown(changes: Changes) -> str:
    """The comparison with headings from the first level down, ending in one line end."""
    return "\n".join(_lines(changes)) + "\n"


def plain(text: str) -> str:
    """One line of text in which nothing is markup."""
    return MARKUP.sub(r"\\\1", clean(text))


def _lines(changes: Changes) -> Iterator[str]:
    step = changes.version_step
    yield f"# {plain(title_text(changes))}"
    yield ""
    yield plain(version_text(changes))
    if step.because:
        yield ""
        yield f"Because of: {plain(because_text(changes))}"
    yield ""
    yield f"- old: {plain(edition_text(changes.old))}"
    yield f"- new: {plain(edition_text(changes.new))}"
    for part, kinds in by_part(changes.entries):
        yield ""
        yield f"## {plain(part)}"
        for kind, entries in kinds:
            yield ""
            yield f"### {plain(part)}: {plain(kind)}"
            yield ""
            for text, change in told(entries):
                yield from _change(text, change)
    for schedule in changes.schedules:
        yield ""
        yield from _schedule(schedule)


def _change(text: str, change: Change | None) -> Iterator[str]:
    yield f"- {plain(text)}"
    if change is None:
        return
    for field in change.fields:
        yield f"  - {plain(field_text(field))}"
    if change.points is not None and change.points.example:
        yield f"  - for example: {plain(change.points.example)}"


def _schedule(schedule: ScheduleMoves) -> Iterator[str]:
    yield f"## {plain(moves_title(schedule))}"
    yield ""
    refused = list(refusals(schedule))
    for heading, sentences in refused:
        yield f"- {plain(heading)}"
        yield from (f"  - {plain(sentence)}" for sentence in sentences)
    if not schedule.moves and not refused:
        yield "None."
    for level, rules in by_level(schedule):
        yield f"- {plain(level)}"
        for rule, moves in rules:
            yield f"  - {plain(rule)}"
            yield from (f"    - {plain(move_text(move))}" for move in moves)
