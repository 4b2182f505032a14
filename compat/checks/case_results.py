"""The cases give what they expect, in plain Python and in the database."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor

from compat.checks.case_batches import RuleCases, outcomes_of, readable
from compat.checks.context import CheckContext, check, in_cases
from compat.model.faults import Fault
from compat.model.vocabulary import Vocabulary
from compat.rulebook.cases import Outcome, reference_outcome

# More columns in one query take longer to plan than they save.
RULES_A_QUERY = 20
# The database plans outside Python's lock, so that plain Python can run beside it.
THREADS = 2


@check(
    "case-results", "rule", "every case gives the verdict it expects, both ways; a known gap is still a gap"
)
def case_results(context: CheckContext) -> Iterator[Fault]:
    """Faults for cases that come out otherwise, and for gaps that have closed."""
    vocabulary = context.dataset.vocabulary
    sound: list[RuleCases] = []
    for rule in context.live_rules():
        cases = context.cases.get(rule.rule.slug, ())
        unread = readable((rule, cases), vocabulary)
        if unread:
            yield Fault(f"a case cannot be read: {unread}", in_cases(rule))
        elif cases:
            sound.append((rule, cases))
    shares = [
        sound[len(sound) * place // THREADS : len(sound) * (place + 1) // THREADS] for place in range(THREADS)
    ]
    with ThreadPoolExecutor(THREADS) as pool:
        answers = pool.map(lambda share: database_outcomes(share, vocabulary), shares)
        for share, found in zip(shares, answers, strict=True):
            for rule_cases, outcomes in zip(share, found, strict=True):
                yield from _compared(rule_cases, outcomes, vocabulary)


def database_outcomes(share: Sequence[RuleCases], vocabulary: Vocabulary) -> list[list[Outcome]]:
    """What the database says of the cases of some rules, on a connection of its own."""
    from compat.engine.handover import locked_connection

    outcomes: list[list[Outcome]] = []
    with locked_connection(threads=1) as connection:
        for at in range(0, len(share), RULES_A_QUERY):
            outcomes += outcomes_of(share[at : at + RULES_A_QUERY], vocabulary, connection)
    return outcomes


def _compared(rule_cases: RuleCases, outcomes: Sequence[Outcome], vocabulary: Vocabulary) -> Iterator[Fault]:
    rule, cases = rule_cases
    for place, (case, database) in enumerate(zip(cases, outcomes, strict=True)):
        reference = reference_outcome(rule, case, vocabulary)
        as_expected = reference == case.expect
        if reference == database and as_expected != bool(case.known_gap):
            continue
        where = in_cases(rule, "case", place, "name")
        if reference != database:
            yield Fault(f"'{case.name}': plain Python says {reference}, the database {database}", where)
        elif not as_expected:
            yield Fault(f"'{case.name}': expected {case.expect}, found {reference}", where)
        else:
            yield Fault(f"'{case.name}' passes now", where, do="Remove its known_gap")
