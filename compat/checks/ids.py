"""Ids are given once, in rules and tables; those of withdrawn rules stay given."""

from __future__ import annotations

from collections.abc import Iterator

from compat.checks.material import Material, in_entry, in_rule
from compat.model.faults import Fault

NAME = "ids"
SCOPE = "dataset"
SENTENCE = "an id and a slug are given once, and never again after a withdrawal"


def check(material: Material) -> Iterator[Fault]:
    """Faults for ids and slugs that stand twice. A withdrawn rule keeps its file, so its id is taken."""
    seen: dict[str, str] = {}
    for rule in material.rules:
        for key, value in (("id", rule.rule.id), ("slug", rule.rule.slug)):
            if value in seen:
                what = f"the {key} {value} is given already in {seen[value]}"
                yield Fault(what, in_rule(rule, key), do="Give a new one; ids are never used again")
            withdrawn = " (withdrawn)" if rule.rule.status == "withdrawn" else ""
            seen[value] = f"{rule.family}/{rule.file.name}{withdrawn}"
    for entry in material.entries:
        for key in ("id", "slug"):
            if key not in entry.raw:
                continue
            value = f"{entry.table} {entry.raw[key]}"
            if value in seen:
                what = f"the {key} {entry.raw[key]} is given already in {seen[value]}"
                yield Fault(what, in_entry(entry, key), do="Give a new one")
            seen[value] = entry.path.name
