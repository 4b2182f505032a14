"""What changed in the tables of equipment, the references and the defaults."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, cast

from compat.dataset.read import TABLES, Equipment
from compat.model.changes import Change, FieldChange, Kind, Part, Step
from compat.model.equipment import SUBJECT_OF, Entry
from compat.model.values import UNKNOWN, Trait
from compat.model.vocabulary import Vocabulary
from compat.release.differences import change, content_text, field_changes
from compat.release.edition import Edition, locators_of

# What is told apart; whatever else an entry has is for people.
TOLD_APART = {"id", "slug", "basis", "source", "traits"}
WORDS = tuple(name for name in Entry.names() if name not in TOLD_APART)


ADDED: dict[Part, tuple[Step, str]] = {
    "output": (
        "minor",
        "it is on offer where a project names no outputs, so another may be proposed",
    )
}


def table_changes(old: Edition, new: Edition) -> list[Change]:
    """The changes of all entries, by table and id."""
    changes: list[Change] = []
    for table in TABLES:
        before, after = old.entries[table], new.entries[table]
        for identity in sorted({*before, *after}):
            part = cast(Part, SUBJECT_OF[table])
            if identity not in before:
                step, why = ADDED.get(part, ("patch", "no schedule names it yet"))
                changes.append(change(part, identity, "added", step, why, name=after[identity].name))
            elif identity not in after:
                name = before[identity].name
                changes.append(change(part, identity, "removed", "major", "an id is gone", name=name))
            else:
                changes += _entry(part, table, identity, old, new)
    return changes


def _entry(part: Part, table: str, identity: str, old: Edition, new: Edition) -> Iterator[Change]:
    before, after = old.entries[table][identity], new.entries[table][identity]
    was, now = old.dataset.tables[table][identity], new.dataset.tables[table][identity]
    values, recalled, sources = _traits(part, was, now, old.dataset.vocabulary, new.dataset.vocabulary)
    sources += _locators(before, after, {field.field for field in [*values, *recalled, *sources]})
    written = before.model_dump(), after.model_dump()
    told: tuple[tuple[Kind, Step, str, list[FieldChange]], ...] = (
        ("changed", "minor", "verdicts rest on its values", values),
        ("changed", "patch", "a figure from memory is shown and decides nothing", recalled),
        ("re_sourced", "patch", "the values are the same", sources),
        ("renamed", "patch", "the id is the same", field_changes(*written, ("slug",))),
        ("reworded", "patch", "the words are other ones", field_changes(*written, WORDS)),
    )
    for kind, step, why, fields in told:
        if fields:
            yield change(part, identity, kind, step, why, fields, name=after.name)


def _traits(
    part: Part, was: Equipment, now: Equipment, old: Vocabulary, new: Vocabulary
) -> tuple[list[FieldChange], list[FieldChange], list[FieldChange]]:
    """Values that differ, recalled figures that differ, and the same values from elsewhere."""
    values: list[FieldChange] = []
    recalled: list[FieldChange] = []
    sources: list[FieldChange] = []
    for name in dict.fromkeys([*was.traits, *now.traits]):
        before, after = was.traits.get(name, UNKNOWN), now.traits.get(name, UNKNOWN)
        full = f"{part}.{name}"
        if (before.content, before.recalled) != (after.content, after.recalled):
            told = FieldChange(
                field=name, old=_trait_text(before, full, old), new=_trait_text(after, full, new)
            )
            (values if before.content != after.content else recalled).append(told)
        elif (before.basis, before.source) != (after.basis, after.source):
            sources.append(FieldChange(field=name, old=_basis_text(before), new=_basis_text(after)))
    return values, recalled, sources


def _locators(before: Entry, after: Entry, told: set[str]) -> list[FieldChange]:
    """Places in a source that differ, for traits of which nothing else is told."""
    was, now = locators_of(before), locators_of(after)
    return field_changes(was, now, [name for name in dict.fromkeys([*was, *now]) if name not in told])


def _trait_text(trait: Trait, full_name: str, vocabulary: Vocabulary) -> str:
    definition = vocabulary.traits.get(full_name)
    unit = vocabulary.unit_symbol(definition.unit) if definition else ""
    if trait.content is None and trait.recalled is not None:
        return f"{content_text(trait.recalled, unit)}, from memory"
    return content_text(trait.content, unit)


def _basis_text(trait: Trait) -> str:
    return f"{trait.basis} {trait.source or ''}".strip()


def source_changes(old: Edition, new: Edition) -> Iterator[Change]:
    """The changes of the references, by id."""
    before, after = old.dataset.sources, new.dataset.sources
    for identity in sorted({*before, *after}):
        was, now = before.get(identity), after.get(identity)
        named = now or was
        assert named is not None
        kind: Kind = "added" if was is None else "removed" if now is None else "changed"
        if kind == "changed" and was == now:
            continue
        step: Step = "major" if kind == "removed" else "patch"
        why = "an id is gone" if kind == "removed" else "no verdict rests on the text of a reference"
        fields = field_changes(was.model_dump(), now.model_dump()) if was and now else []
        yield change("source", identity, kind, step, why, fields, name=named.short)


def default_changes(old: Edition, new: Edition) -> Iterator[Change]:
    """The changes of what holds where a project and a schedule state nothing."""
    for field in field_changes(_flat(old.defaults), _flat(new.defaults)):
        kind: Kind = "changed" if field.old and field.new else "added" if field.new else "removed"
        step: Step = "patch" if field.field == "name" else "minor"
        told = FieldChange(field="value", old=field.old, new=field.new)
        why = "it stands in for what a schedule leaves out" if step == "minor" else "it is a title"
        yield change("default", field.field, kind, step, why, [told])


def _flat(data: Mapping[str, Any], lead: str = "") -> dict[str, Any]:
    flat: dict[str, Any] = {}
    for key, value in data.items():
        flat |= _flat(value, f"{lead}{key}.") if isinstance(value, dict) else {f"{lead}{key}": value}
    return flat
