"""The cases give what they expect."""

from __future__ import annotations

from collections.abc import Iterator

from compat.checks.context import CheckContext, check, in_cases
from compat.dataset.values import ValueFault
from compat.model.faults import Fault
from compat.rulebook.cases import outcome_of


@check("case-results", "rule", "every case gives the verdict it expects; a known gap is still a gap")
def case_results(context: CheckContext) -> Iterator[Fault]:
    """Faults for cases that come out otherwise, and for gaps that have closed."""
    for rule in context.live_rules():
        for place, case in enumerate(context.cases.get(rule.rule.slug, ())):
            try:
                found = outcome_of(rule, case, context.dataset.vocabulary)
            except ValueFault as error:
                yield Fault(f"a case cannot be read: {error}", in_cases(rule))
                break
            where = in_cases(rule, "case", place, "name")
            if found != case.expect and not case.known_gap:
                yield Fault(f"'{case.name}': expected {case.expect}, found {found}", where)
            elif found == case.expect and case.known_gap:
                yield Fault(f"'{case.name}' passes now", where, do="Remove its known_gap")
