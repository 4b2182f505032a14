"""All rules of a release in one JSON file: each as written, with its cases and its history."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

from compat.dataset.read import Dataset
from compat.rulebook.rules import ParsedRule, cases_file, read_cases

HISTORY = ("status", "since", "withdrawn_because", "superseded_by")


def rules_text(dataset: Dataset, rules: Sequence[ParsedRule]) -> str:
    """The rules by id, withdrawn ones too. Raises BadInput when cases cannot be read."""
    ordered = sorted(rules, key=lambda rule: rule.rule.id)
    content = {
        "schema": "rules/1",
        "dataset": {"version": dataset.version, "sha256": dataset.sha256},
        "rules": [_rule(rule, ordered) for rule in ordered],
    }
    return json.dumps(content, indent=2, ensure_ascii=False) + "\n"


def _rule(rule: ParsedRule, rules: Sequence[ParsedRule]) -> dict[str, Any]:
    written = rule.rule.model_dump(by_alias=True, exclude_defaults=True)
    history = {key: value for key in HISTORY if (value := getattr(rule.rule, key))}
    follows = [other.rule.id for other in rules if rule.rule.id in other.rule.superseded_by]
    return {
        "family": rule.family,
        **{key: value for key, value in written.items() if key not in HISTORY},
        "traits": rule.names,
        "history": {**history, **({"follows": follows} if follows else {})},
        "cases": [case.model_dump(exclude_defaults=True) for case in read_cases(cases_file(rule.file)).case],
    }
