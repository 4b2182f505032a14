"""No two rules in force speak against each other without saying which goes first."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from itertools import combinations

from compat.checks.logic import possible
from compat.checks.material import Material, in_rule
from compat.model.faults import Fault
from compat.rulebook import nodes
from compat.rulebook.rules import ParsedRule

NAME = "contradictions"
SCOPE = "rule"
SENTENCE = "two rules about the same values that differ in their outcome state which is told first"


def check(material: Material) -> Iterator[Fault]:
    """Faults for pairs of one scope and one precedence whose tests read the same values and that can
    apply together, when their breaches differ or nothing can fulfil both.
    """
    alike: dict[tuple[str, int, frozenset[str]], list[ParsedRule]] = defaultdict(list)
    for rule in sorted(material.live_rules(), key=lambda rule: rule.rule.id):
        used = frozenset(nodes.names(rule.test))
        alike[rule.rule.scope, rule.rule.precedence, used].append(rule)
    for rules in alike.values():
        for first, second in combinations(rules, 2):
            against = _against(material, first, second)
            if against:
                what = f"{against} {first.rule.id}, and both have precedence {first.rule.precedence}"
                do = "Give the one that is to be told first the lower precedence"
                yield Fault(what, in_rule(second, "precedence"), do=do)


def _against(material: Material, first: ParsedRule, second: ParsedRule) -> str:
    vocabulary = material.dataset.vocabulary
    together = nodes.Both(first.applies, second.applies)
    if first.rule.breach != second.rule.breach:
        if possible(together, vocabulary):
            return f"the breach is {second.rule.breach}; the same values give {first.rule.breach} by"
        return ""
    if first.test == second.test:
        return ""
    both_hold = nodes.Both(together, nodes.Both(first.test, second.test))
    if not possible(both_hold, vocabulary) and possible(together, vocabulary):
        return "nothing can fulfil this rule together with"
    return ""
