"""The keys of 1, 2, 3 ... equal drivers on one output after another.

What does not move with the count is evaluated once; a value or truth code is one for all counts or a
list with one for each. The comparisons are those of ``engine.join``, and a test holds the two equal.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from itertools import repeat
from typing import Any, TypeAlias

from compat.engine.aggregate import moves_with_quantity
from compat.engine.join import ALL_HOLD, Allowances, RuleClauses, gravest_first
from compat.engine.subject import CircuitSubject, OutputSubject, Pairing
from compat.rulebook import nodes
from compat.rulebook.clauses import Clause, ClauseSide, Comparison
from compat.rulebook.nodes import Node
from compat.rulebook.rules import ParsedRule
from compat.rulebook.truth import YES, both, either

# One for all counts, or a list with one for each.
OverCounts: TypeAlias = Any


class CountJoin:
    """Joins the demands of ``series``, circuits of 1, 2, 3 ... drivers, with outputs."""

    def __init__(self, series: Sequence[CircuitSubject], rules: Sequence[ParsedRule]) -> None:
        self.series = series
        self._rules: list[RuleClauses] = gravest_first(rules)
        self._demands: dict[int, tuple[OverCounts, tuple[OverCounts, ...]]] = {}

    def keys(self, output: OutputSubject) -> list[int]:
        """The key of each count on an output, in the order of the series."""
        found: OverCounts = ALL_HOLD
        for rule, clauses in Allowances(self._rules, output).open:
            if rule.most <= (min(found) if type(found) is list else found):
                break
            code: OverCounts = YES
            for clause, allowance in clauses:
                code = _over(both, code, self._code(clause, allowance, output))
            if code != YES:
                keys = [rule.keys[one] for one in code] if type(code) is list else rule.keys[code]
                found = _over(max, found, keys)
        return found if type(found) is list else [found] * len(self.series)

    def _code(self, clause: Clause, allowance: ClauseSide, output: OutputSubject) -> OverCounts:
        holds, values = self._demand(clause)
        code = _over(either, holds, allowance.holds)
        if code == YES:
            return YES
        for part, demand, allowed in zip(clause.comparisons, values, allowance.values, strict=True):
            compared = (
                [part.code(one, allowed) for one in demand]
                if type(demand) is list
                else part.code(demand, allowed)
            )
            code = _over(either, code, compared)
        if clause.mixed is not None:
            mixed = [Pairing(circuit, output).mixed(clause.mixed) for circuit in self.series]
            code = _over(either, code, mixed)
        return code

    def _demand(self, clause: Clause) -> tuple[OverCounts, tuple[OverCounts, ...]]:
        """What the counts ask by a clause: what holds by itself, and what is to be compared."""
        if id(clause) not in self._demands:
            holds = self._each(clause.circuit, lambda circuit: circuit.evaluator.truth(clause.circuit))
            values = () if holds == YES else tuple(self._value(part) for part in clause.comparisons)
            self._demands[id(clause)] = holds, values or (None,) * len(clause.comparisons)
        return self._demands[id(clause)]

    def _value(self, part: Comparison) -> OverCounts:
        return self._each(part.demand, lambda circuit: part.demand_of(circuit.evaluator))

    def _each(self, node: Node, make: Callable[[CircuitSubject], Any]) -> OverCounts:
        """What a node gives: once where it does not move with the count."""
        first = self.series[0]
        if not any(map(self._moves, nodes.names(node))):
            return make(first)
        return _one_or_each([make(circuit) for circuit in self.series])

    def _moves(self, name: str) -> bool:
        trait = self.series[0].dataset.vocabulary.traits[name]
        return trait.subject == "circuit" and moves_with_quantity(trait)


def _over(function: Callable[[Any, Any], Any], left: OverCounts, right: OverCounts) -> OverCounts:
    if type(left) is list or type(right) is list:
        return _one_or_each(map(function, _spread(left), _spread(right)))
    return function(left, right)


def _spread(value: OverCounts) -> Iterable[Any]:
    return value if type(value) is list else repeat(value)


def _one_or_each(values: Iterable[Any]) -> OverCounts:
    """One value when all are the same."""
    each = list(values)
    return each[0] if each.count(each[0]) == len(each) else each
