"""What changed in the vocabulary: traits, units and the words of choice lists."""

from __future__ import annotations

import csv
from collections.abc import Iterator, Mapping
from dataclasses import asdict
from pathlib import Path
from typing import Any

from compat.dataset.read import Dataset
from compat.model.changes import Change, FieldChange, Kind, Part, Step
from compat.model.vocabulary import TraitDefinition, Unit
from compat.release.differences import change, field_changes

# The step that a field of a definition takes, by what it means for those who rely on it.
FIELDS: dict[Step, tuple[str, ...]] = {
    "major": ("kind", "unit", "choices", "dimension", "factor"),
    "minor": ("label", "symbol", "gather", "gathered_from"),
    "patch": ("meaning", "where_to_find"),
}
WHY: dict[Step, str] = {
    "major": "a value of it means something else than before",
    "minor": "schedules are read and circuits gathered by it",
    "patch": "it is a word for people",
}


def vocabulary_changes(old: Dataset, new: Dataset) -> Iterator[Change]:
    """The changes of traits, units and choices, in this order and by name; then what they mean to people."""
    before, after = old.vocabulary, new.vocabulary
    traits = [_plain(known.traits, ("subject", "name")) for known in (before, after)]
    yield from _definitions("trait", *traits)
    yield from _definitions("unit", *(_plain(known.units, ("name",)) for known in (before, after)))
    yield from _choices(before.choices, after.choices)
    yield from _meaning_changes(old.root, new.root)


def _plain(
    records: Mapping[str, TraitDefinition] | Mapping[str, Unit], left_out: tuple[str, ...]
) -> dict[str, dict[str, Any]]:
    return {
        name: {key: value for key, value in asdict(record).items() if key not in left_out}
        for name, record in records.items()
    }


def _definitions(
    part: Part, old: Mapping[str, dict[str, Any]], new: Mapping[str, dict[str, Any]]
) -> Iterator[Change]:
    for name in sorted({*old, *new}):
        if name not in old:
            yield change(part, name, "added", "patch", "nothing uses it yet by itself")
        elif name not in new:
            yield change(part, name, "removed", "major", "a field is gone" if part == "trait" else "gone")
        else:
            for step, named in FIELDS.items():
                fields = field_changes(old[name], new[name], named)
                if fields:
                    kind: Kind = "reworded" if step == "patch" else "changed"
                    yield change(part, name, kind, step, WHY[step], fields)


def _choices(old: Mapping[str, Mapping[str, str]], new: Mapping[str, Mapping[str, str]]) -> Iterator[Change]:
    before = {f"{name}.{word}": symbol for name, words in old.items() for word, symbol in words.items()}
    after = {f"{name}.{word}": symbol for name, words in new.items() for word, symbol in words.items()}
    for name in sorted({*before, *after}):
        if name not in before:
            if name.split(".")[0] in old:
                why = "what is not known may be this as well"
                yield change("choice", name, "added", "minor", why)
            else:
                yield change("choice", name, "added", "patch", "its list is new")
        elif name not in after:
            yield change("choice", name, "removed", "major", "a word that tables and schedules use is gone")
        elif before[name] != after[name]:
            fields = [FieldChange(field="symbol", old=before[name], new=after[name])]
            yield change("choice", name, "changed", "minor", WHY["minor"], fields)


def _meaning_changes(old: Path, new: Path) -> Iterator[Change]:
    """What units and words mean to people, told beside them in the tables."""
    tables: dict[Part, tuple[str, tuple[str, ...]]] = {
        "unit": ("units.csv", ("unit",)),
        "choice": ("choices.csv", ("list", "value")),
    }
    for part, (file, keys) in tables.items():
        before, after = (_meanings(root / "datasets" / "vocabulary" / file, keys) for root in (old, new))
        for name in sorted({*before} & {*after}):
            if before[name] != after[name]:
                fields = [FieldChange(field="meaning", old=before[name], new=after[name])]
                yield change(part, name, "reworded", "patch", WHY["patch"], fields)


def _meanings(path: Path, keys: tuple[str, ...]) -> dict[str, str]:
    with path.open(encoding="utf-8", newline="") as file:
        return {".".join(row[key] for key in keys): row["meaning"] for row in csv.DictReader(file)}
