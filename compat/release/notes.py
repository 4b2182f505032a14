"""Release notes: what the release holds and, against an older edition, what changed and what moved."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from compat import __version__
from compat.dataset.read import Dataset
from compat.model.changes import Change, Changes, ScheduleMoves
from compat.release.page_formats import escaped
from compat.release.table import Table

CAUTION = (
    "An aid for people trained in electrical work; generic figures are no datasheet. "
    "Local codes and a licensed electrician decide."
)
MOST_PLACES = 8


def notes_text(dataset: Dataset, tables: Sequence[Table], changes: Changes | None) -> str:
    """The notes as Markdown. Without ``changes`` they say what is in the release and nothing more."""
    lines = [
        f"# Release notes: dataset {dataset.version}",
        "",
        f"SHA-256 of the rules and tables: `{dataset.sha256}`. Made with compat {__version__}.",
        "",
        *(_changes(changes) if changes else ()),
        "## What it holds",
        "",
    ]
    lines += [f"- {len(table.rows)} in `{table.name}`: {escaped(table.meaning)}" for table in tables]
    lines += ["", "## Caution", "", CAUTION, ""]
    return "\n".join(lines)


def _changes(changes: Changes) -> Iterator[str]:
    old, step = changes.old, changes.version_step
    yield f"## Changes since {old.version}"
    yield ""
    yield f"Version step: {step.taken}; the changes ask for {step.needed}."
    yield ""
    if not changes.entries:
        yield "Nothing changed."
        yield ""
    kinds: dict[str, list[Change]] = {}
    for change in changes.entries:
        kinds.setdefault(change.kind.replace("_", " ").capitalize(), []).append(change)
    for kind, members in kinds.items():
        yield f"### {kind}"
        yield ""
        yield from map(_change, members)
        yield ""
    if changes.schedules:
        yield "### Verdicts that moved"
        yield ""
        for schedule in changes.schedules:
            yield from _moves(schedule)
        yield ""


def _change(change: Change) -> str:
    part = change.part.replace("_", " ")
    name = f" {escaped(change.name)}" if change.name else ""
    fields = ", ".join(f"`{field.field}`" for field in change.fields)
    return f"- {part} `{change.id}`{name}: {escaped(change.why)}{f' ({fields})' if fields else ''}"


def _moves(schedule: ScheduleMoves) -> Iterator[str]:
    name = f"`{schedule.schedule}`"
    for faults, edition in ((schedule.old_refused, "older"), (schedule.new_refused, "newer")):
        if faults:
            yield f"- {name} cannot be judged by the {edition} edition: {escaped(faults[0])}"
    if not schedule.moves and not schedule.old_refused and not schedule.new_refused:
        yield f"- {name}: none of {schedule.circuits} circuits and {schedule.lines} lines"
    for move in schedule.moves:
        more = f" and {len(move.where) - MOST_PLACES} more" if len(move.where) > MOST_PLACES else ""
        where = ", ".join(map(escaped, move.where[:MOST_PLACES])) + more
        rule = f" by {move.rule} {escaped(move.slug)}" if move.rule else ""
        old, new = move.old.replace("_", " "), move.new.replace("_", " ")
        yield f"- {name}: {move.count} from {old} to {new}{rule} ({move.level}: {where})"
