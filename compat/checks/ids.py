"""Ids are given once, in rules, tables and references."""

from __future__ import annotations

from collections.abc import Iterator

from compat.checks.material import Material, in_rule
from compat.dataset.toml_files import line_of, read_text, read_toml
from compat.model.equipment import SUBJECT_OF
from compat.model.faults import Fault
from compat.model.values import Origin

NAME = "ids"
SCOPE = "dataset"
SENTENCE = "an id and a slug are given once"


def check(material: Material) -> Iterator[Fault]:
    """Faults for ids and slugs that stand twice."""
    seen: dict[str, str] = {}
    for rule in material.rules:
        for key, value in (("id", rule.rule.id), ("slug", rule.rule.slug)):
            if value in seen:
                what = f"the {key} {value} is given already in {seen[value]}"
                yield Fault(what, in_rule(rule, key), do="Give a new one; ids are never used again")
            seen[value] = f"{rule.family}/{rule.file.name}"
    for table, subject in SUBJECT_OF.items():
        folder = material.dataset.root / "datasets" / table.replace("_", "-")
        for path in sorted(folder.glob("*.toml")):
            for entry in read_toml(path)[subject]:
                for key in ("id", "slug"):
                    if key not in entry:
                        continue
                    value = f"{table} {entry[key]}"
                    if value in seen:
                        where = Origin(path.name, line=line_of(read_text(path), entry[key]))
                        yield Fault(f"the {key} {entry[key]} is given already in {seen[value]}", where)
                    seen[value] = path.name
