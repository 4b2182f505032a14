"""The evaluator of the rule language: expressions over the values of one subject, on intervals.

It runs once for a circuit and once for an output; what it gives are the demands and allowances that
``rulebook.clauses`` compares. Brute force over the ends of intervals holds it in property tests.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Any

from compat.model.values import Content, Interval, TokenSet
from compat.rulebook import nodes
from compat.rulebook.nodes import QuantityNode, TokensNode, TruthNode
from compat.rulebook.truth import EITHER, NO, UNKNOWN, YES, both, either, negated

# Two figures that differ by less than this share of the right one count as equal, so that a sum
# of decimal fractions meets the limit it is written to meet. Stated in every report's schema.
TOLERANCE = 1e-9

Lookup = Callable[[str], Content]
Bits = tuple[int, int]
BitsOf = Callable[[str, str], int]


def slackened(limit: float) -> float:
    """A right-hand side widened by the tolerance."""
    return limit + TOLERANCE * abs(limit)


@dataclass(slots=True)
class Evaluator:
    """Evaluates nodes against one set of values; a node is evaluated once."""

    lookup: Lookup
    bits_of: BitsOf
    # By identity, since hashing a tree costs more than most evaluations; the node is kept beside
    # its value so that its identity cannot pass to another.
    _done: dict[int, tuple[Any, Any]] = field(default_factory=dict)

    def quantity(self, node: QuantityNode) -> Interval | None:
        """The interval of a quantity, or None when it is not known or not a finite number."""
        if isinstance(node, nodes.QuantityName):
            return quantity_of_content(self.lookup(node.name))
        if isinstance(node, nodes.Number):
            return Interval(node.value, node.value)
        return combined(node, self.quantity(node.left), self.quantity(node.right))

    def tokens(self, node: TokensNode) -> Bits:
        """Bits that are surely in the set, and bits that may be."""
        if isinstance(node, nodes.Tokens):
            return node.mask, node.mask
        return bits_of_content(self.lookup(node.name), node, self.bits_of)

    def truth(self, node: TruthNode) -> int:
        """The truth value of a condition, one of the four codes."""
        done = self._done.get(id(node))
        if done is None:
            done = self._done[id(node)] = (node, self._truth(node))
        return done[1]

    def _truth(self, node: TruthNode) -> int:
        # The second part is not looked at where the first decides.
        if isinstance(node, nodes.Both):
            left = self.truth(node.left)
            return NO if left == NO else both(left, self.truth(node.right))
        if isinstance(node, nodes.Either):
            left = self.truth(node.left)
            return YES if left == YES else either(left, self.truth(node.right))
        if isinstance(node, nodes.Within):
            return contained(self.tokens(node.left), self.tokens(node.right))
        if isinstance(node, nodes.AtMost):
            return compared(self.quantity(node.left), self.quantity(node.right))
        if isinstance(node, nodes.Not):
            return negated(self.truth(node.part))
        if isinstance(node, nodes.YesNoName):
            return truth_of_content(self.lookup(node.name))
        return YES if node.value else NO

    def missing(self, node: TruthNode) -> list[str]:
        """The traits whose being unknown leaves the condition unknown, each once."""
        if self.truth(node) != UNKNOWN:
            return []
        match node:
            case nodes.Both() | nodes.Either():
                return list(dict.fromkeys(self.missing(node.left) + self.missing(node.right)))
            case nodes.Not():
                return self.missing(node.part)
            case _:
                used = nodes.names(node)
                # Known figures can still leave it open, such as a divisor that may be zero: then each may.
                return [name for name in used if self._is_open(name)] or used

    def _is_open(self, name: str) -> bool:
        value = self.lookup(name)
        if isinstance(value, TokenSet):
            return value.sure != value.possible
        return value is None or (isinstance(value, Interval) and finite(value.low, value.high) is None)


def quantity_of_content(value: Content) -> Interval | None:
    """The interval of a trait of kind quantity; None unless both ends are finite and in order."""
    return finite(value.low, value.high) if isinstance(value, Interval) else None


def truth_of_content(value: Content) -> int:
    """The truth value of a trait of kind yes_no."""
    return (YES if value else NO) if isinstance(value, bool) else UNKNOWN


def bits_of_content(value: Content, node: nodes.TokensName, bits_of: BitsOf) -> Bits:
    """The bits of a choice or a set; one that is not known may hold any token of its list."""
    if isinstance(value, TokenSet):
        return _mask(value.sure, node.choices, bits_of), _mask(value.possible, node.choices, bits_of)
    if isinstance(value, str):
        bit = bits_of(node.choices, value)
        return bit, bit
    return 0, node.all_mask


def _mask(tokens: frozenset[str], choices: str, bits_of: BitsOf) -> int:
    mask = 0
    for token in tokens:
        mask |= bits_of(choices, token)
    return mask


def contained(left: Bits, right: Bits) -> int:
    """Whether every token of the left set is in the right one."""
    (left_sure, left_possible), (right_sure, right_possible) = left, right
    if not left_possible & ~right_sure:
        return YES
    return NO if left_sure & ~right_possible else UNKNOWN


def compared(left: Interval | None, right: Interval | None) -> int:
    """``left <= right`` over intervals."""
    return UNKNOWN if right is None else compared_with((left,), right)[0]


def compared_with(lefts: Iterable[Interval | None], right: Interval) -> list[int]:
    """:func:`compared` of many intervals with one limit."""
    holds, breaks = slackened(right.low), slackened(right.high)
    return [
        UNKNOWN if left is None else YES if left.high <= holds else NO if left.low > breaks else EITHER
        for left in lefts
    ]


def combined(
    node: nodes.Arithmetic | nodes.Extreme, left: Interval | None, right: Interval | None
) -> Interval | None:
    """The interval of a sum, product and the like of two intervals; None when it is not known."""
    if left is None or right is None:
        return None
    if isinstance(node, nodes.Extreme):
        pick = min if node.which == "min" else max
        return Interval(pick(left.low, right.low), pick(left.high, right.high))
    return _arithmetic(node.operator, left, right)


def _arithmetic(operator: str, left: Interval, right: Interval) -> Interval | None:
    if operator == "+":
        return finite(left.low + right.low, left.high + right.high)
    if operator == "-":
        return finite(left.low - right.high, left.high - right.low)
    if operator == "/":
        if right.low <= 0.0 <= right.high:
            return None
        corners = [a / b for a in (left.low, left.high) for b in (right.low, right.high)]
    else:
        corners = [a * b for a in (left.low, left.high) for b in (right.low, right.high)]
    return None if any(map(math.isnan, corners)) else finite(min(corners), max(corners))


def finite(low: float, high: float) -> Interval | None:
    """An interval of finite numbers in order, else None."""
    return Interval(low, high) if math.isfinite(low) and math.isfinite(high) and low <= high else None
