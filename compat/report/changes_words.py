"""What the formats of a comparison share: headings, the sentence on the version, and how a field moved."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from compat.model.changes import (
    Change,
    Changes,
    EditionStamp,
    FieldChange,
    Kind,
    Level,
    Move,
    Owner,
    Part,
    ScheduleMoves,
)

PART_TEXT: dict[Part, str] = {
    "rule": "Rules",
    "driver": "Drivers",
    "output": "Outputs",
    "supply": "Supplies",
    "breaker": "Breakers",
    "cable": "Cables",
    "source_impedance": "Source impedances",
    "default": "Defaults",
    "trait": "Traits of the vocabulary",
    "unit": "Units",
    "choice": "Words of the vocabulary",
    "schema": "Published schemas",
    "source": "References",
    "file": "Files",
}
KIND_TEXT: dict[Kind, str] = {
    "removed": "removed",
    "withdrawn": "withdrawn",
    "added": "added",
    "reinstated": "in force again",
    "promoted": "promoted",
    "demoted": "preview again",
    "retiring": "retiring",
    "tightened": "tightened",
    "loosened": "loosened",
    "changed": "changed",
    "renamed": "renamed",
    "re_sourced": "re-sourced",
    "reordered": "told in another order",
    "cases_changed": "cases changed",
    "reworded": "reworded",
}
LEVEL_TEXT: dict[Level, str] = {
    "circuit": "Circuits",
    "line": "Control lines",
    "finding": "Single rules on a circuit or line",
    "output": "Other outputs of a circuit",
}
COUNTED: dict[Level, str] = {
    "circuit": "circuit",
    "line": "line",
    "finding": "finding",
    "output": "pairing",
}
STEP_TEXT = {"none": "no step", "patch": "a PATCH step", "minor": "a MINOR step", "major": "a MAJOR step"}
OWNER_TEXT: dict[Owner, str] = {
    "new": "of the new edition ",
    "old": "of the old edition ",
    "program": "of the program ",
    "user": "",
}
SHORT_SHA = 12
MOST_NAMED = 8


def counted(count: int, word: str) -> str:
    """``1 change``, ``4 changes``."""
    return f"{count} {word}{'' if count == 1 else 's'}"


def title_text(changes: Changes) -> str:
    """The two versions and how much changed."""
    return (
        f"Dataset {changes.old.version} -> {changes.new.version}: {counted(len(changes.entries), 'change')}"
    )


def edition_text(stamp: EditionStamp) -> str:
    """How an edition was given, its commit and its hash."""
    commit = f", commit {stamp.commit[:SHORT_SHA]}" if stamp.commit else ""
    return f"{stamp.given} ({stamp.found_as}{commit}), sha256 {stamp.sha256}"


def version_text(changes: Changes) -> str:
    """Whether the versions take the step that the changes need."""
    step = changes.version_step
    needed = f"The changes take {STEP_TEXT[step.needed]}"
    old, new = changes.old.version, changes.new.version
    if step.taken == "back":
        do = "the later edition is named second"
        return f"{needed}. Not enough: {new} is lower than {old}; {do}."
    taken = f"{needed}; from {old} to {new} is {STEP_TEXT[step.taken]}"
    if step.suffices:
        return f"{taken}. That is enough."
    return f"{taken}. Too small: the new version must be {step.least_version} or higher."


def because_text(changes: Changes) -> str:
    """What asks for the step, the first few by name."""
    because = changes.version_step.because
    more = len(because) - MOST_NAMED
    return ", ".join([*because[:MOST_NAMED], *([f"and {more} more"] if more > 0 else [])])


def field_text(field: FieldChange) -> str:
    """``field: old -> new``, or what it gained or lost."""
    if field.old and field.new:
        return f"{field.field}: {field.old} -> {field.new}"
    return f"{field.field}: {'new' if field.new else 'gone'}: {field.new or field.old}"


def told(changes: list[Change]) -> Iterator[tuple[str, Change | None]]:
    """The changes of a kind, each with its text; those of which nothing more is known on one line."""
    bare: dict[tuple[str, str], list[str]] = {}
    for change in changes:
        named = f"{change.id} {change.name}".strip()
        if change.fields:
            yield f"{named} ({change.step.upper()}): {change.why}", change
        else:
            bare.setdefault((change.step.upper(), change.why), []).append(named)
    for (step, why), names in bare.items():
        yield f"{why} ({step}): {'; '.join(names)}", None


def by_part(entries: list[Change]) -> Iterator[tuple[str, list[tuple[str, list[Change]]]]]:
    """The changes by part and kind, each with its heading."""
    for part, of_part in groupby(entries, key=lambda change: change.part):
        kinds = groupby(of_part, key=lambda change: change.kind)
        yield PART_TEXT[part], [(KIND_TEXT[kind], list(of_kind)) for kind, of_kind in kinds]


def moves_title(schedule: ScheduleMoves) -> str:
    """The schedule and how large it is."""
    size = f"{counted(schedule.circuits, 'circuit')}, {counted(schedule.lines, 'line')}"
    return f"Verdicts that moved on {schedule.schedule} {OWNER_TEXT[schedule.belongs_to]}({size})"


def by_level(schedule: ScheduleMoves) -> Iterator[tuple[str, list[tuple[str, list[Move]]]]]:
    """The moves by level and rule, each with its heading."""
    for level, of_level in groupby(schedule.moves, key=lambda move: move.level):
        rules = groupby(of_level, key=lambda move: (move.rule, move.slug))
        yield (
            LEVEL_TEXT[level],
            [(f"{rule} {slug}".strip() or "no rule", list(m)) for (rule, slug), m in rules],
        )


def move_text(move: Move) -> str:
    """From, to, how many and where."""
    was, now = move.old.replace("_", " "), move.new.replace("_", " ")
    preview = "" if move.stable else ", a preview"
    count = counted(move.count, COUNTED[move.level])
    return f"{was} -> {now}{preview}: {count}: {', '.join(move.where)}"


def refusals(schedule: ScheduleMoves) -> Iterator[tuple[str, list[str]]]:
    """Which edition cannot judge the schedule, and its faults."""
    if schedule.old_refused:
        yield "The old edition cannot judge it", schedule.old_refused
    if schedule.new_refused:
        yield "The new edition cannot judge it", schedule.new_refused
