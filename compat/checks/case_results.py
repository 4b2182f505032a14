"""The cases give what they expect, in plain Python and in the database."""

from __future__ import annotations

from collections.abc import Iterator

from compat.checks.material import Material, in_cases
from compat.dataset.values import ValueFault
from compat.model.faults import Fault
from compat.rulebook.cases import database_outcomes, reference_outcome

NAME = "case-results"
SCOPE = "rule"
SENTENCE = "every case gives the verdict it expects, both ways; a known gap is still a gap"


def check(material: Material) -> Iterator[Fault]:
    """Faults for cases that come out otherwise, and for gaps that have closed."""
    import duckdb

    connection = duckdb.connect()
    vocabulary = material.dataset.vocabulary
    for rule in material.live_rules():
        cases = material.cases.get(rule.rule.slug, ())
        if not cases:
            continue
        try:
            found = database_outcomes(rule, cases, vocabulary, connection)
            pairs = [
                (reference_outcome(rule, case, vocabulary), other)
                for case, other in zip(cases, found, strict=True)
            ]
        except ValueFault as error:
            yield Fault(f"a case cannot be read: {error}", in_cases(rule))
            continue
        for case, (reference, database) in zip(cases, pairs, strict=True):
            where = in_cases(rule, case.name)
            as_expected = reference == case.expect
            if reference != database:
                yield Fault(f"'{case.name}': plain Python says {reference}, the database {database}", where)
            elif not as_expected and not case.known_gap:
                yield Fault(f"'{case.name}': expected {case.expect}, found {reference}", where)
            elif as_expected and case.known_gap:
                yield Fault(f"'{case.name}' passes now", where, do="Remove its known_gap")
    connection.close()
