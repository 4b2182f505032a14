"""What changed in the published schemas: fields that came, went or take other values.

The traits of the table schemas are left out: they are made from the vocabulary, whose changes are
told there.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

from compat.dataset.toml_files import read_toml
from compat.model.changes import Change, FieldChange
from compat.model.equipment import SUBJECT_OF
from compat.release.differences import change

SUFFIX = ".schema.json"
_change = partial(change, "schema")
# What people write by hand; the other schemas are of answers.
WRITTEN = {*SUBJECT_OF, "rule", "cases", "project", "sources", "exceptions"}
# Words about a field, and words in which the fields below it are told.
NOT_COMPARED = {"description", "title", "default", "properties", "required", "$defs", "additionalProperties"}


@dataclass(frozen=True, slots=True)
class SchemaField:
    """One field of a schema: what it must be, whether it must be there, and its allowed words."""

    shape: str
    required: bool
    words: frozenset[str] | None


def schema_changes(old: Path, new: Path) -> Iterator[Change]:
    """The changes of the schemas in two folders, by schema and field. Raises BadInput."""
    before, after = _schemas(old), _schemas(new)
    for name in sorted({*before, *after}):
        if name not in before:
            yield _change(name, "added", "patch", "nothing is written by it yet")
        elif name not in after:
            yield change(
                "schema", name, "removed", "major", "what is written by it cannot be checked any more"
            )
        else:
            yield from _compared(name, fields_of(before[name], name), fields_of(after[name], name))


def _schemas(folder: Path) -> dict[str, dict[str, Any]]:
    return {path.name.removesuffix(SUFFIX): read_toml(path) for path in sorted(folder.glob(f"*{SUFFIX}"))}


def fields_of(schema: Mapping[str, Any], name: str) -> dict[str, SchemaField]:
    """Every field of a schema by its path; what a field refers to stands in place of the reference."""
    return _below(_resolved(schema, schema.get("$defs", {}), ()), "", name, True)


def _resolved(value: Any, parts: Mapping[str, Any], within: tuple[str, ...]) -> Any:
    """The schema with every reference to one of its parts replaced; one to itself stays."""
    if isinstance(value, list):
        return [_resolved(entry, parts, within) for entry in value]
    if not isinstance(value, dict):
        return value
    part = str(value.get("$ref", "")).removeprefix("#/$defs/")
    if part in parts and part not in within:
        return _resolved(parts[part], parts, (*within, part))
    return {key: _resolved(content, parts, within) for key, content in value.items() if key != "$defs"}


def _below(schema: Mapping[str, Any], lead: str, name: str, sure: bool) -> dict[str, SchemaField]:
    """The fields below a place; those of one of several shapes are never required for ``sure``."""
    found: dict[str, SchemaField] = {}
    required = schema.get("required", []) if sure else []
    for field, content in schema.get("properties", {}).items():
        if name in SUBJECT_OF and field == "traits":
            continue
        path = f"{lead}.{field}" if lead else field
        found[path] = _field(content, field in required)
        found |= _below(content, path, name, True)
    for deeper in ("items", "additionalProperties"):
        if isinstance(schema.get(deeper), dict):
            found |= _below(schema[deeper], lead, name, sure)
    for shape in schema.get("anyOf", []):
        found |= _below(shape, lead, name, False)
    return found


def _field(content: Mapping[str, Any], required: bool) -> SchemaField:
    rest = _without_words(content)
    words = rest.pop("enum", None)
    return SchemaField(
        json.dumps(rest, sort_keys=True), required, frozenset(map(str, words)) if words else None
    )


def _without_words(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _without_words(part) for key, part in value.items() if key not in NOT_COMPARED}
    return [_without_words(part) for part in value] if isinstance(value, list) else value


def _compared(name: str, old: Mapping[str, SchemaField], new: Mapping[str, SchemaField]) -> Iterator[Change]:
    for path in sorted({*old, *new}):
        identity, before, after = f"{name}.{path}", old.get(path), new.get(path)
        parent = path.rpartition(".")[0]
        if parent and (parent in old) != (parent in new):
            continue  # told by the field above it
        if before is None and after is not None:
            if after.required and name in WRITTEN:
                yield _change(identity, "added", "major", "files without it are refused")
            else:
                yield change(
                    "schema", identity, "added", "patch", "what was written before is written as before"
                )
        elif after is None and before is not None:
            yield _change(identity, "removed", "major", "a field is gone")
        elif before is not None and after is not None and before != after:
            yield _changed(identity, before, after)


def _changed(identity: str, before: SchemaField, after: SchemaField) -> Change:
    fields = [FieldChange(field="must be", old=_text(before), new=_text(after))]
    if (before.shape, before.required) == (after.shape, after.required):
        if before.words and after.words and before.words < after.words:
            return change(
                "schema", identity, "changed", "minor", "more words are allowed than before", fields
            )
    elif before.shape == after.shape and before.words == after.words and before.required:
        return _change(identity, "changed", "minor", "it may be left out now", fields)
    return _change(identity, "changed", "major", "a field takes other values", fields)


def _text(field: SchemaField) -> str:
    parts = ["required" if field.required else "", "" if field.shape == "{}" else field.shape]
    return " ".join(filter(None, [*parts, ", ".join(sorted(field.words or ()))]))
