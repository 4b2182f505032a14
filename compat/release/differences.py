"""A change told: the fields of two versions of a thing that differ, and values as text for people."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from compat.model.changes import Change, FieldChange, Kind, Part, Points, Step
from compat.model.figures import amount_text
from compat.model.values import Content, Interval, TokenSet


def change(
    part: Part,
    identity: str,
    kind: Kind,
    step: Step,
    why: str,
    fields: Sequence[FieldChange] = (),
    *,
    name: str = "",
    points: Points | None = None,
) -> Change:
    """One thing that changed in one way, and the version step that this takes by itself."""
    return Change(
        part=part, id=identity, name=name, kind=kind, step=step, why=why, fields=list(fields), points=points
    )


def field_changes(
    old: Mapping[str, Any], new: Mapping[str, Any], names: Iterable[str] | None = None, lead: str = ""
) -> list[FieldChange]:
    """The fields that differ, all or the named ones; one that is missing counts as empty."""
    return [
        FieldChange(field=f"{lead}{name}", old=text_of(old.get(name)), new=text_of(new.get(name)))
        for name in (dict.fromkeys([*old, *new]) if names is None else names)
        if old.get(name) != new.get(name)
    ]


def text_of(value: Any) -> str:
    """A value of a file: text as it is, lists of texts with bars between, else JSON."""
    if value is None or isinstance(value, str):
        return value or ""
    if isinstance(value, list) and all(isinstance(part, str) for part in value):
        return " | ".join(value)
    return json.dumps(value, ensure_ascii=False, sort_keys=True)


def content_text(value: Content, unit_symbol: str) -> str:
    """A value as people read it, words as the tables write them."""
    if isinstance(value, Interval):
        return amount_text(value.low, value.high, unit_symbol)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, TokenSet):
        sure = ", ".join(sorted(value.sure)) or "none"
        perhaps = ", ".join(sorted(value.possible - value.sure))
        return f"{sure}, perhaps {perhaps}" if perhaps else sure
    return value if value is not None else "not known"
