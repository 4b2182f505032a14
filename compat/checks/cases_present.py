"""The cases a rule must have are there."""

from __future__ import annotations

from collections.abc import Iterator

from compat.checks.ask_for import ALWAYS_KNOWN
from compat.checks.material import Material, in_cases, in_rule
from compat.model.faults import Fault
from compat.rulebook.rules import ParsedRule, cases_file

NAME = "cases-present"
SCOPE = "rule"
SENTENCE = "a case that holds, one that breaks, both sides of the limit, one for each missing value"


def check(material: Material) -> Iterator[Fault]:
    """Faults for rules without the cases they need."""
    for rule in material.live_rules():
        cases = material.cases.get(rule.rule.slug)
        if cases is None:
            name = cases_file(rule.file).name
            yield Fault(
                "the rule has no readable cases file", in_rule(rule), do=f"Write {rule.family}/{name}"
            )
            continue
        kinds = {case.kind for case in cases}
        for kind in _needed(rule):
            if kind not in kinds:
                yield Fault(f"there is no case of kind '{kind}'", in_cases(rule), do="Add one")
        missing = {
            name
            for case in cases
            if case.kind == "missing"
            for name, value in case.given.items()
            if value == "unknown"
        }
        for name in rule.names:
            if name not in missing and name not in ALWAYS_KNOWN:
                yield Fault(f"there is no case in which {name} is missing", in_cases(rule), do="Add one")
        for case in cases:
            lacking = [name for name in rule.names if name not in case.given]
            if lacking:
                what = f"the case '{case.name}' does not give {', '.join(lacking)}"
                yield Fault(what, in_cases(rule, case.name), do='Give each, or "unknown"')


def _needed(rule: ParsedRule) -> list[str]:
    limits = ["at_limit", "past_limit"] if rule.demand is not None else []
    return ["holds", "breaks", *limits, *([] if rule.rule.applies == "always" else ["not_applicable"])]
