"""A rule's file is named after its slug, its cases file names its id, and every file is read."""

from __future__ import annotations

import re
from collections.abc import Iterator

from compat.checks.exceptions_file import EXCEPTIONS_FILE
from compat.checks.material import Material, in_cases, in_rule
from compat.dataset.toml_files import read_toml
from compat.model.equipment import SLUG
from compat.model.faults import Fault
from compat.model.values import Origin
from compat.rulebook.relations import relation_files
from compat.rulebook.rules import cases_file, rule_files

NAME = "file-names"
SCOPE = "rule"
SENTENCE = "a rule's file is named after its slug, and its cases file names its id"


def check(material: Material) -> Iterator[Fault]:
    """Faults for names that do not match and for files that are not read."""
    folder = material.dataset.rules_folder
    read = set(rule_files(folder))
    read |= {cases_file(path) for path in read} | {folder / EXCEPTIONS_FILE, *relation_files(folder)}
    for path in sorted(folder.rglob("*.toml")):
        if path not in read:
            where = Origin(path.relative_to(folder).as_posix())
            do = "Put it into rules/<family>/, cases beside the rule of the same name"
            yield Fault("the file is not read: it is neither a rule nor the cases of one", where, do=do)
    for rule in material.rules:
        if not re.fullmatch(SLUG, rule.family):
            what = f"the folder '{rule.family}' is no name of a family"
            yield Fault(what, in_rule(rule), "Allowed: small letters, digits and hyphens", "Rename it")
        if rule.file.stem != rule.rule.slug:
            what = f"the slug is '{rule.rule.slug}' and the file '{rule.file.name}'"
            yield Fault(what, in_rule(rule, "slug"), do=f"Name the file {rule.rule.slug}.toml")
        if rule.rule.slug in material.cases:
            named = read_toml(cases_file(rule.file))["rule"]
            if named != rule.rule.id:
                what = f"the cases are of rule {named}, the rule beside them is {rule.rule.id}"
                yield Fault(what, in_cases(rule, "rule"), do=f'Write rule = "{rule.rule.id}"')
