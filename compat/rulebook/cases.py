"""The cases of a rule: the values given, and the verdict found."""

from __future__ import annotations

from collections.abc import Mapping

from compat.dataset.values import ValueFault, content_of
from compat.model.rule import Case
from compat.model.values import Content
from compat.model.verdicts import Verdict
from compat.model.vocabulary import Vocabulary
from compat.rulebook.clauses import Clause
from compat.rulebook.evaluator import Evaluator
from compat.rulebook.rules import ParsedRule
from compat.rulebook.truth import NO, YES, both, verdict_of

Outcome = Verdict | str


def evaluation(values: Mapping[str, Content], vocabulary: Vocabulary) -> Evaluator:
    """An evaluator of values by full trait name; what is not given is unknown."""
    return Evaluator(values.get, vocabulary.bit_of)


def given_values(case: Case, vocabulary: Vocabulary) -> dict[str, Content]:
    """The values of a case; raises ValueFault for an unknown name or an unfit value."""
    values: dict[str, Content] = {}
    for name, value in case.given.items():
        if name not in vocabulary.traits:
            raise ValueFault(f"'{name}' is not in the vocabulary")
        values[name] = content_of(value, vocabulary.traits[name], vocabulary)
    return values


def code_of(rule: ParsedRule, values: Evaluator) -> int:
    """The truth value of a rule where the values of all subjects are known together."""
    return _least(rule.clauses, values)


def outcome_of(rule: ParsedRule, case: Case, vocabulary: Vocabulary) -> Outcome:
    """The verdict of a rule on a case, or ``does_not_apply``. Raises ValueFault."""
    values = evaluation(given_values(case, vocabulary), vocabulary)
    if _least(rule.applies_clauses, values) == NO:
        return "does_not_apply"
    return verdict_of(code_of(rule, values), rule.rule.breach)


def _least(clauses: tuple[Clause, ...], values: Evaluator) -> int:
    code = YES
    for clause in clauses:
        code = both(code, clause.code(clause.demand(values), clause.allowance(values), values.truth))
    return code
