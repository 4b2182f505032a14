"""A rule's file is named after its slug and its cases file names the rule's id."""

from __future__ import annotations

from collections.abc import Iterator

from compat.checks.material import Material, in_cases, in_rule
from compat.model.faults import Fault
from compat.rulebook.rules import cases_file, read_cases

NAME = "file-names"
SCOPE = "rule"
SENTENCE = "a rule's file is named after its slug, and its cases file names its id"


def check(material: Material) -> Iterator[Fault]:
    """Faults for names that do not match."""
    for rule in material.rules:
        if rule.file.stem != rule.rule.slug:
            what = f"the slug is '{rule.rule.slug}' and the file '{rule.file.name}'"
            yield Fault(what, in_rule(rule, "slug"), do=f"Name the file {rule.rule.slug}.toml")
        if rule.rule.slug in material.cases:
            named = read_cases(cases_file(rule.file)).rule
            if named != rule.rule.id:
                what = f"the cases are of rule {named}, the rule beside them is {rule.rule.id}"
                yield Fault(what, in_cases(rule, "rule"), do=f'Write rule = "{rule.rule.id}"')
