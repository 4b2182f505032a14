"""Checks by logic: each rule can apply and be broken, and no two speak against each other."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from itertools import combinations

from compat.checks.context import CheckContext, check, in_rule
from compat.checks.logic import possible
from compat.model.faults import Fault
from compat.model.vocabulary import Vocabulary
from compat.rulebook import nodes
from compat.rulebook.rules import ParsedRule


@check("applicability", "rule", "a rule can apply, can hold and can be broken")
def applicability(context: CheckContext) -> Iterator[Fault]:
    """Faults for rules that no case, and no logic, can bring to apply or to break."""
    vocabulary = context.dataset.vocabulary
    for rule in context.live_rules():
        where = in_rule(rule, "applies")
        if not possible(rule.applies, vocabulary):
            yield Fault("the rule can never apply", where, do="Withdraw it")
        elif nodes.names(rule.test):
            for outcome, test in (("break", nodes.Not(rule.test)), ("keep", rule.test)):
                if not possible(nodes.Both(rule.applies, test), vocabulary):
                    what = f"no values {outcome} the rule where it applies"
                    yield Fault(what, where, do="Mend applies or the test")
        if not nodes.names(rule.test):
            what = "the test of the rule uses no value, so it always gives the same"
            yield Fault(what, in_rule(rule, "requires"))
        outcomes = {case.expect for case in context.cases.get(rule.rule.slug, ())}
        if outcomes and rule.rule.breach not in outcomes:
            yield Fault(f"no case shows the rule broken ({rule.rule.breach})", in_rule(rule, "breach"))


@check(
    "contradictions",
    "rule",
    "two rules about the same values that differ in their outcome state which is told first",
)
def contradictions(context: CheckContext) -> Iterator[Fault]:
    """Faults for pairs of one scope and one precedence whose tests read the same values and that can
    apply together, when their breaches differ or nothing can fulfil both.
    """
    alike: dict[tuple[str, int, frozenset[str]], list[ParsedRule]] = defaultdict(list)
    for rule in sorted(context.live_rules(), key=lambda rule: rule.rule.id):
        alike[rule.rule.scope, rule.rule.precedence, frozenset(nodes.names(rule.test))].append(rule)
    for rules in alike.values():
        for first, second in combinations(rules, 2):
            against = _against(context.dataset.vocabulary, first, second)
            if against:
                what = f"{against} {first.rule.id}, and both have precedence {first.rule.precedence}"
                do = "Give the one that is to be told first the lower precedence"
                yield Fault(what, in_rule(second, "precedence"), do=do)


def _against(vocabulary: Vocabulary, first: ParsedRule, second: ParsedRule) -> str:
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
