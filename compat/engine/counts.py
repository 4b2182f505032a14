"""The keys of 1, 2, 3 ... equal drivers on one output after another.

What does not move with the count is evaluated once; a value or truth code is one for all counts or a
list with one for each. The comparisons are those of ``engine.join``, and a test holds the two equal.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from functools import partial
from itertools import repeat
from typing import Any, TypeAlias

from compat.engine.aggregate import moves_with_quantity
from compat.engine.join import ALL_HOLD, Allowances, RuleClauses, gravest_first
from compat.engine.subject import CircuitSubject, OutputSubject, Pairing
from compat.model.values import Interval
from compat.rulebook import nodes
from compat.rulebook.clauses import Clause, ClauseSide, Comparison, Value, side_of
from compat.rulebook.evaluator import Evaluator, combined, compared, compared_with, contained
from compat.rulebook.nodes import Node, QuantityNode, TokensNode, TruthNode
from compat.rulebook.rules import ParsedRule
from compat.rulebook.truth import NO, YES, both, either, negated

# One for all counts, or a list with one for each.
OverCounts: TypeAlias = Any


class CountJoin:
    """Joins the demands of ``series``, circuits of 1, 2, 3 ... drivers, with outputs."""

    def __init__(self, series: Sequence[CircuitSubject], rules: Sequence[ParsedRule]) -> None:
        self.series = series
        self._rules: list[RuleClauses] = gravest_first(rules)
        self._none = OutputSubject(series[0].dataset, None)
        self._demands: dict[int, tuple[OverCounts, tuple[OverCounts, ...]]] = {}
        self._leaves: dict[int, OverCounts] = {}
        self._moving: dict[int, bool] = {}

    def keys(self, outputs: Sequence[OutputSubject]) -> list[list[int]]:
        """For each output the key of each count, in the order of the series."""
        found: list[OverCounts] = [ALL_HOLD] * len(outputs)
        for rule, _, groups in Allowances(self._rules, outputs).open:
            for group in groups:
                places = [place for place in group.places if _least(found[place]) < rule.most]
                code: OverCounts = YES
                for clause, allowance in group.clauses if places else ():
                    code = _over(both, code, self._code(clause, allowance, group.first))
                if code != YES:
                    keys = [rule.keys[one] for one in code] if type(code) is list else rule.keys[code]
                    for place in places:
                        found[place] = _over(max, found[place], keys)
        return [one if type(one) is list else [one] * len(self.series) for one in found]

    def _code(self, clause: Clause, allowance: ClauseSide, output: OutputSubject) -> OverCounts:
        holds, values = self._demand(clause)
        code = _over(either, holds, allowance.holds)
        if code == YES:
            return YES
        for part, demand, allowed in zip(clause.comparisons, values, allowance.values, strict=True):
            code = _over(either, code, _compared(part, demand, allowed))
        if clause.mixed is not None:
            code = _over(either, code, self._truth(clause.mixed, output))
        return code

    def _demand(self, clause: Clause) -> tuple[OverCounts, tuple[OverCounts, ...]]:
        """What the counts ask by a clause: what holds by itself, and what is to be compared."""
        if id(clause) not in self._demands:
            holds = self._truth(clause.circuit, self._none)
            values = () if holds == YES else tuple(self._value(part) for part in clause.comparisons)
            self._demands[id(clause)] = holds, values or (None,) * len(clause.comparisons)
        return self._demands[id(clause)]

    def _value(self, part: Comparison) -> OverCounts:
        make = self._tokens if part.of_sets else self._quantity
        return make(part.demand, self._none)  # type: ignore[arg-type]

    # The three below follow rulebook.evaluator node by node, with one value or one for each count.

    def _truth(self, node: TruthNode, output: OutputSubject) -> OverCounts:
        if not self._moves(node):
            return self._still(node, output).truth(node)
        match node:
            case nodes.Both() | nodes.Either():
                join, decisive = (both, NO) if isinstance(node, nodes.Both) else (either, YES)
                left = self._truth(node.left, output)
                return left if left == decisive else _over(join, left, self._truth(node.right, output))
            case nodes.Not():
                return _each(negated, self._truth(node.part, output))
            case nodes.AtMost():
                return _over(compared, self._quantity(node.left, output), self._quantity(node.right, output))
            case nodes.Within():
                return _over(contained, self._tokens(node.left, output), self._tokens(node.right, output))
            case _:
                return self._leaf(node, lambda circuit: circuit.evaluator.truth(node))

    def _quantity(self, node: QuantityNode, output: OutputSubject) -> OverCounts:
        if not self._moves(node):
            return self._still(node, output).quantity(node)
        if isinstance(node, nodes.Arithmetic | nodes.Extreme):
            join = partial(combined, node)
            return _over(join, self._quantity(node.left, output), self._quantity(node.right, output))
        return self._leaf(node, lambda circuit: circuit.evaluator.quantity(node))

    def _tokens(self, node: TokensNode, output: OutputSubject) -> OverCounts:
        if not self._moves(node):
            return self._still(node, output).tokens(node)
        return self._leaf(node, lambda circuit: circuit.evaluator.tokens(node))

    def _leaf(self, node: Node, make: Callable[[CircuitSubject], Any]) -> OverCounts:
        """The values of a name over the counts, made once."""
        if id(node) not in self._leaves:
            self._leaves[id(node)] = _one_or_each(map(make, self.series))
        return self._leaves[id(node)]

    def _still(self, node: Node, output: OutputSubject) -> Evaluator:
        """What evaluates a node that is the same for all counts."""
        side = side_of(node)
        first = self.series[0]
        if side == "both":
            return Evaluator(Pairing(first, output).content, first.dataset.vocabulary.bit_of)
        return output.evaluator if side == "output" else first.evaluator

    def _moves(self, node: Node) -> bool:
        """Whether a node may change with the count."""
        found = self._moving.get(id(node))
        if found is None:
            # The rules keep their trees alive, so that an identity cannot pass to another.
            found = self._moving[id(node)] = any(map(self._is_moving, nodes.names(node)))
        return found

    def _is_moving(self, name: str) -> bool:
        trait = self.series[0].dataset.vocabulary.traits[name]
        return trait.subject == "circuit" and moves_with_quantity(trait)


def _compared(part: Comparison, demand: OverCounts, allowed: Value) -> OverCounts:
    """The truth codes of a comparison; of many figures with one limit at once."""
    if type(demand) is not list or part.of_sets or not part.demand_is_left or allowed is None:
        return _over(part.code, demand, allowed)
    assert isinstance(allowed, Interval)
    codes = compared_with(demand, allowed)
    return _one_or_each(map(negated, codes) if part.negated else codes)


def _least(value: OverCounts) -> int:
    return min(value) if type(value) is list else value  # type: ignore[no-any-return]


def _each(function: Callable[[Any], Any], value: OverCounts) -> OverCounts:
    return _one_or_each(map(function, value)) if type(value) is list else function(value)


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
