"""Rules in clauses: what a circuit asks of an output meets what the output allows.

A condition over a circuit and an output is brought into conjunctive form, with ``not`` pushed to the
leaves. Each clause holds when the circuit makes it hold by itself, or the output does, or a demand
lies within its allowance. A part that one subject decides alone is kept whole. This form is the meaning
of a rule: its truth value is the least of those of its clauses.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import reduce
from typing import Literal, TypeAlias

from compat.model.values import Interval
from compat.rulebook import nodes
from compat.rulebook.evaluator import Bits, Evaluator, compared, contained
from compat.rulebook.nodes import Node, QuantityNode, TokensNode, TruthNode
from compat.rulebook.truth import YES, either, negated

Side = Literal["circuit", "output", "both"]
Value: TypeAlias = "Interval | Bits | None"
# A condition that would come apart into more clauses is evaluated whole for each pairing.
MOST_CLAUSES = 32
TRUE, FALSE = nodes.Always(True), nodes.Always(False)


@dataclass(frozen=True, slots=True)
class Comparison:
    """A demand of the circuit against an allowance of the output.

    ``demand_is_left``: the demand must lie below (or inside) the allowance, else the other way
    round. ``negated``: the contrary must be so.
    """

    demand: QuantityNode | TokensNode
    allowance: QuantityNode | TokensNode
    demand_is_left: bool
    negated: bool
    of_sets: bool

    def demand_of(self, circuit: Evaluator) -> Value:
        """The demand of a circuit."""
        return _value(circuit, self.demand, self.of_sets)

    def allowance_of(self, output: Evaluator) -> Value:
        """The allowance of an output."""
        return _value(output, self.allowance, self.of_sets)

    def code(self, demand: Value, allowance: Value) -> int:
        """The truth value for a demand and an allowance."""
        left, right = (demand, allowance) if self.demand_is_left else (allowance, demand)
        found = contained(left, right) if self.of_sets else compared(left, right)  # type: ignore[arg-type]
        return negated(found) if self.negated else found


@dataclass(frozen=True, slots=True, eq=False)
class Clause:
    """One clause: any of its parts makes it hold. ``mixed`` needs both subjects at once."""

    circuit: TruthNode
    output: TruthNode
    comparisons: tuple[Comparison, ...]
    mixed: TruthNode | None

    def demand(self, circuit: Evaluator) -> ClauseSide:
        """What a circuit asks by this clause."""
        values = tuple(part.demand_of(circuit) for part in self.comparisons)
        return ClauseSide(circuit.truth(self.circuit), values)

    def allowance(self, output: Evaluator) -> ClauseSide:
        """What an output allows by this clause."""
        values = tuple(part.allowance_of(output) for part in self.comparisons)
        return ClauseSide(output.truth(self.output), values)

    def code(self, demand: ClauseSide, allowance: ClauseSide, mixed: Callable[[TruthNode], int]) -> int:
        """The truth value of the clause; ``mixed`` evaluates what needs both subjects."""
        code = either(demand.holds, allowance.holds)
        if code == YES:
            return YES
        for part, asked, allowed in zip(self.comparisons, demand.values, allowance.values, strict=True):
            code = either(code, part.code(asked, allowed))
        return code if self.mixed is None or code == YES else either(code, mixed(self.mixed))

    def parts(self) -> Iterator[TruthNode]:
        """The conditions whose joining by ``or`` the clause is."""
        yield from (self.circuit, self.output)
        for part in self.comparisons:
            sides = (part.demand, part.allowance) if part.demand_is_left else (part.allowance, part.demand)
            node = nodes.Within(*sides) if part.of_sets else nodes.AtMost(*sides)  # type: ignore[arg-type]
            yield nodes.Not(node) if part.negated else node
        if self.mixed is not None:
            yield self.mixed


@dataclass(frozen=True, slots=True)
class ClauseSide:
    """A row of the demands or of the allowances: what holds by itself, and what is to be compared."""

    holds: int
    values: tuple[Value, ...]


def clauses_of(condition: TruthNode) -> tuple[Clause, ...]:
    """The clauses of a condition, each with its literals by subject."""
    literals = _conjunctive(condition, False)
    if literals is None:
        return (Clause(FALSE, FALSE, (), condition),)
    return tuple(_clause(disjuncts) for disjuncts in literals)


def side_of(node: Node) -> Side:
    """The subject whose values decide a node; the surroundings go with the circuit."""
    known = _SIDES.get(id(node))
    if known is None:
        of_output = [name.startswith("output.") for name in nodes.names(node)]
        side: Side = "circuit" if not any(of_output) else "output" if all(of_output) else "both"
        if len(_SIDES) >= MOST_SIDES:
            _SIDES.clear()
        # The node is kept beside it so that its identity cannot pass to another.
        known = _SIDES[id(node)] = node, side
    return known[1]


MOST_SIDES = 65_536
_SIDES: dict[int, tuple[Node, Side]] = {}
Literals: TypeAlias = "list[tuple[tuple[TruthNode, bool], ...]]"


def _conjunctive(node: TruthNode, negative: bool) -> Literals | None:
    """Clauses of literals, each a node and whether it is negated; None when there are too many."""
    match node:
        case nodes.Always():
            return [] if node.value != negative else [()]
        case nodes.Both() | nodes.Either() if side_of(node) == "both":
            left, right = _conjunctive(node.left, negative), _conjunctive(node.right, negative)
            if left is None or right is None:
                return None
            if isinstance(node, nodes.Both) != negative:
                found = left + right
            else:
                found = [(*one, *other) for one in left for other in right]
            return found if len(found) <= MOST_CLAUSES else None
        case nodes.Not() if side_of(node) == "both":
            return _conjunctive(node.part, not negative)
        case _:
            return [((node, negative),)]


def _clause(literals: Iterable[tuple[TruthNode, bool]]) -> Clause:
    parts: dict[Side, list[TruthNode]] = {"circuit": [], "output": [], "both": []}
    comparisons: list[Comparison] = []
    for node, negative in dict.fromkeys(literals):
        side = side_of(node)
        comparison = _comparison(node, negative) if side == "both" else None
        if comparison is not None:
            comparisons.append(comparison)
        else:
            parts[side].append(nodes.Not(node) if negative else node)
    mixed = _any_of(parts["both"]) if parts["both"] else None
    return Clause(_any_of(parts["circuit"]), _any_of(parts["output"]), tuple(comparisons), mixed)


def _comparison(node: TruthNode, negated: bool) -> Comparison | None:
    """A comparison with one subject on either side; None for one that mixes them."""
    if not isinstance(node, nodes.AtMost | nodes.Within):
        return None
    sides = side_of(node.left), side_of(node.right)
    of_sets = isinstance(node, nodes.Within)
    if sides == ("circuit", "output"):
        return Comparison(node.left, node.right, True, negated, of_sets)
    if sides == ("output", "circuit"):
        return Comparison(node.right, node.left, False, negated, of_sets)
    return None


def _any_of(parts: list[TruthNode]) -> TruthNode:
    return reduce(nodes.Either, parts) if parts else FALSE


def _value(evaluator: Evaluator, node: QuantityNode | TokensNode, of_sets: bool) -> Value:
    return evaluator.tokens(node) if of_sets else evaluator.quantity(node)  # type: ignore[arg-type]
