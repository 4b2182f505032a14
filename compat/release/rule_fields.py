"""The fields of a rule, its citations and its cases that differ between two versions, as text."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from typing import Any

from compat.model.changes import FieldChange
from compat.model.rule import Case, Rule


def cases_fields(old: tuple[Case, ...], new: tuple[Case, ...]) -> list[FieldChange]:
    """The cases that differ, by their names."""
    before, after = ({case.name: _case_text(case) for case in cases} for cases in (old, new))
    return _map_fields("case", before, after)


def _case_text(case: Case) -> str:
    given = ", ".join(f"{name} = {_text(value)}" for name, value in case.given.items())
    mark = f"; known gap: {case.known_gap}" if case.known_gap else ""
    source = f"; from {case.from_source}" if case.from_source else ""
    return f"{case.kind}, {case.expect}, given {given}{source}{mark}"


def source_fields(old: Rule, new: Rule) -> list[FieldChange]:
    """The citations that differ, by source; several of one source are told together."""
    return _map_fields("source", _cited(old), _cited(new))


def _cited(rule: Rule) -> dict[str, str]:
    told: dict[str, list[str]] = {}
    for citation in rule.sources:
        parts = (citation.edition, citation.locator, f"for {', '.join(citation.supports)}", citation.basis)
        told.setdefault(citation.source, []).append(", ".join(filter(None, parts)))
    return {source: " | ".join(texts) for source, texts in told.items()}


def _map_fields(lead: str, old: Mapping[str, str], new: Mapping[str, str]) -> list[FieldChange]:
    return [
        FieldChange(field=f"{lead} {name}", old=old.get(name, ""), new=new.get(name, ""))
        for name in dict.fromkeys([*old, *new])
        if old.get(name) != new.get(name)
    ]


def rule_fields(old: Rule, new: Rule, names: Iterable[str]) -> list[FieldChange]:
    """The named fields that differ; of a field with keys, the keys that differ."""
    a, b = old.model_dump(mode="json"), new.model_dump(mode="json")
    found: list[FieldChange] = []
    for name in names:
        if isinstance(a[name], dict):
            found += _map_fields(name, a[name], b[name])
        elif a[name] != b[name]:
            found.append(FieldChange(field=name, old=_text(a[name]), new=_text(b[name])))
    return found


def _text(value: Any) -> str:
    if isinstance(value, str):
        return value
    if isinstance(value, list) and all(isinstance(part, str) for part in value):
        return " | ".join(value)
    return json.dumps(value, ensure_ascii=False, sort_keys=True)
