"""No rule that can never apply, and none that can never be broken."""

from __future__ import annotations

from collections.abc import Iterator

from compat.checks.logic import possible
from compat.checks.material import Material, in_rule
from compat.model.faults import Fault
from compat.rulebook import nodes

NAME = "applicability"
SCOPE = "rule"
SENTENCE = "a rule can apply, can hold and can be broken"


def check(material: Material) -> Iterator[Fault]:
    """Faults for rules that no case, and no logic, can bring to apply or to break."""
    vocabulary = material.dataset.vocabulary
    for rule in material.live_rules():
        if not possible(rule.applies, vocabulary):
            yield Fault("the rule can never apply", in_rule(rule, "applies"), do="Withdraw it")
        elif nodes.names(rule.test):
            if not possible(nodes.Both(rule.applies, nodes.Not(rule.test)), vocabulary):
                what = "no values break the rule where it applies"
                yield Fault(what, in_rule(rule, "applies"), do="Mend applies or the test")
            if not possible(nodes.Both(rule.applies, rule.test), vocabulary):
                what = "no values keep the rule where it applies"
                yield Fault(what, in_rule(rule, "applies"), do="Mend applies or the test")
        if not nodes.names(rule.test):
            yield Fault(
                "the test of the rule uses no value, so it always gives the same", in_rule(rule, "requires")
            )
        outcomes = {case.expect for case in material.cases.get(rule.rule.slug, ())}
        if outcomes and rule.rule.breach not in outcomes:
            yield Fault(f"no case shows the rule broken ({rule.rule.breach})", in_rule(rule, "breach"))
