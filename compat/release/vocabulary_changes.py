"""What changed in the vocabulary: traits, units and the words of choice lists."""

from __future__ import annotations

import csv
from collections.abc import Iterator, Mapping
from dataclasses import asdict
from pathlib import Path
from typing import Any

from compat.model.changes import Change, FieldChange, Kind, Part, Step
from compat.model.vocabulary import TraitDefinition, Unit, Vocabulary

# What a field of a definition means for those who rely on it. The rest are words for people.
MEANING = {"kind", "unit", "choices", "dimension", "factor"}
READING = {"label", "symbol", "gather", "gathered_from"}
WHY: dict[Step, str] = {
    "major": "a value of it means something else than before",
    "minor": "schedules are read and circuits gathered by it",
    "patch": "it is a word for people",
}


def vocabulary_changes(old: Vocabulary, new: Vocabulary) -> Iterator[Change]:
    """The changes of traits, units and choices, in this order and by name."""
    yield from _definitions("trait", _traits(old), _traits(new))
    yield from _definitions("unit", _units(old.units), _units(new.units))
    yield from _choices(old.choices, new.choices)


def _traits(vocabulary: Vocabulary) -> dict[str, dict[str, Any]]:
    return {name: _plain(trait, ("subject", "name")) for name, trait in vocabulary.traits.items()}


def _units(units: Mapping[str, Unit]) -> dict[str, dict[str, Any]]:
    return {name: _plain(unit, ("name",)) for name, unit in units.items()}


def _plain(record: TraitDefinition | Unit, left_out: tuple[str, ...]) -> dict[str, Any]:
    return {key: value for key, value in asdict(record).items() if key not in left_out}


def _definitions(
    part: Part, old: Mapping[str, dict[str, Any]], new: Mapping[str, dict[str, Any]]
) -> Iterator[Change]:
    for name in sorted({*old, *new}):
        if name not in old:
            yield _change(part, name, "added", "patch", "nothing uses it yet by itself")
        elif name not in new:
            yield _change(part, name, "removed", "major", "a field is gone" if part == "trait" else "gone")
        else:
            by_step: dict[Step, list[FieldChange]] = {"major": [], "minor": [], "patch": []}
            for field, value in old[name].items():
                if value != new[name][field]:
                    told = FieldChange(field=field, old=str(value), new=str(new[name][field]))
                    by_step[_step(field)].append(told)
            for step, fields in by_step.items():
                if fields:
                    kind: Kind = "reworded" if step == "patch" else "changed"
                    yield _change(part, name, kind, step, WHY[step], fields)


def _step(field: str) -> Step:
    return "major" if field in MEANING else "minor" if field in READING else "patch"


def _choices(old: Mapping[str, Mapping[str, str]], new: Mapping[str, Mapping[str, str]]) -> Iterator[Change]:
    before = {f"{name}.{word}": symbol for name, words in old.items() for word, symbol in words.items()}
    after = {f"{name}.{word}": symbol for name, words in new.items() for word, symbol in words.items()}
    for name in sorted({*before, *after}):
        if name not in before:
            if name.split(".")[0] in old:
                why = "what is not known may be this as well"
                yield _change("choice", name, "added", "minor", why)
            else:
                yield _change("choice", name, "added", "patch", "its list is new")
        elif name not in after:
            yield _change("choice", name, "removed", "major", "a word that tables and schedules use is gone")
        elif before[name] != after[name]:
            fields = [FieldChange(field="symbol", old=before[name], new=after[name])]
            yield _change("choice", name, "changed", "minor", WHY["minor"], fields)


def meaning_changes(old: Path, new: Path) -> Iterator[Change]:
    """What units and words mean, told beside them in the tables; nothing else is made of it."""
    tables: dict[Part, tuple[str, tuple[str, ...]]] = {
        "unit": ("units.csv", ("unit",)),
        "choice": ("choices.csv", ("list", "value")),
    }
    for part, (file, keys) in tables.items():
        before, after = (_meanings(root / "datasets" / "vocabulary" / file, keys) for root in (old, new))
        for name in sorted({*before} & {*after}):
            if before[name] != after[name]:
                fields = [FieldChange(field="meaning", old=before[name], new=after[name])]
                yield _change(part, name, "reworded", "patch", WHY["patch"], fields)


def _meanings(path: Path, keys: tuple[str, ...]) -> dict[str, str]:
    with path.open(encoding="utf-8", newline="") as file:
        return {".".join(row[key] for key in keys): row["meaning"] for row in csv.DictReader(file)}


def _change(
    part: Part, name: str, kind: Kind, step: Step, why: str, fields: list[FieldChange] | None = None
) -> Change:
    return Change(part=part, id=name, kind=kind, step=step, why=why, fields=fields or [])
