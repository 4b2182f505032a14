"""An interval contractor: what some values and a set of relations leave possible, run both ways.

A box holds for each name what is still possible: the two ends of a quantity, or the bits of the tokens
that a choice may be, of the truth values that a yes or no may have, or that a set surely and possibly
holds. Each relation narrows the box as far as its own tree tells (HC4: up the tree by interval
arithmetic, and down again by the inverse of each operation); a truth of which one part is known to be
false makes the other one true. All relations start from the same box in each round and what they find is
met (fixed_point.py), so that their order does not matter.
Arithmetic is rounded outward (Benhamou et al., Revising hull and box consistency, 1999, for the method).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Literal, TypeAlias

from compat.rulebook import nodes
from compat.rulebook.intervals import ALL, Ends, minus, over, plus, times
from compat.rulebook.nodes import QuantityNode, TruthNode

# Ends for a quantity, (sure, possible) for a set, the bits of what is possible for the others.
Domain: TypeAlias = "Ends | tuple[int, int] | int"
Kind = Literal["quantity", "choice", "yes_no", "set"]
IS_FALSE, IS_TRUE = 1, 2
# No trait of the vocabulary is negative: the tables and schedules refuse negative numbers.
UNKNOWN_QUANTITY: Ends = (0.0, math.inf)
# Ends that miss each other by no more are the same number written with rounding.
ROUNDING = 1e-9


class Contradiction(Exception):
    """Nothing is possible any more."""


@dataclass(slots=True)
class Narrowing:
    """What one truth leaves possible of a box; ``found`` has the names that it narrows."""

    box: Mapping[str, Domain]
    kinds: Mapping[str, Kind]
    found: dict[str, Domain] = field(default_factory=dict)

    def domain(self, name: str) -> Domain:
        """What is possible of a name by now."""
        return self.found[name] if name in self.found else self.box[name]

    def truth(self, node: TruthNode) -> bool | None:
        """Whether a truth holds over all that is possible; None when it may and may not."""
        match node:
            case nodes.Always():
                return node.value
            case nodes.Not():
                part = self.truth(node.part)
                return None if part is None else not part
            case nodes.Both() | nodes.Either():
                decisive = isinstance(node, nodes.Either)
                parts = [self.truth(node.left), self.truth(node.right)]
                if decisive in parts:
                    return decisive
                return None if None in parts else not decisive
            case nodes.YesNoName():
                return {IS_TRUE: True, IS_FALSE: False}.get(_bits(self.domain(node.name)))
            case nodes.AtMost():
                (low, high), (least, most) = self.ends(node.left), self.ends(node.right)
                if high <= least:
                    return True
                return False if low > most else None
            case nodes.Within():
                return self._within(node)

    def require(self, node: TruthNode, wanted: bool) -> None:
        """Narrow to where a truth is as wanted. Raises Contradiction where it never is."""
        match node:
            case nodes.Always():
                if node.value != wanted:
                    raise Contradiction
            case nodes.Not():
                self.require(node.part, not wanted)
            case nodes.Both() | nodes.Either():
                self._require_joined(node, wanted)
            case nodes.YesNoName():
                self.meet(node.name, IS_TRUE if wanted else IS_FALSE)
            case nodes.AtMost():
                # Of a strict comparison the limit itself is kept, which loses nothing.
                less, more = (node.left, node.right) if wanted else (node.right, node.left)
                low, high = self.ends(less)[0], self.ends(more)[1]
                if low > high:
                    if low > high + ROUNDING * abs(high):
                        raise Contradiction
                    return
                self.fit(less, (-math.inf, high))
                self.fit(more, (low, math.inf))
            case nodes.Within():
                self._require_within(node, wanted)

    def _require_joined(self, node: nodes.Both | nodes.Either, wanted: bool) -> None:
        sides = equal_sides(node) if wanted else None
        if sides is not None:
            self.fit(sides[0], self.ends(sides[1]))
            self.fit(sides[1], self.ends(sides[0]))
            return
        if isinstance(node, nodes.Both) is wanted:
            self.require(node.left, wanted)
            self.require(node.right, wanted)
            return
        for part, other in ((node.left, node.right), (node.right, node.left)):
            if self.truth(part) is (not wanted):
                self.require(other, wanted)
                return

    def meet(self, name: str, domain: Domain) -> None:
        """Take away from a name what is not in ``domain``. Raises Contradiction when nothing is left."""
        old = self.domain(name)
        new = met(old, domain)
        if new != old:
            self.found[name] = new

    def ends(self, node: QuantityNode) -> Ends:
        """The ends between which a quantity lies."""
        match node:
            case nodes.Number():
                return node.value, node.value
            case nodes.QuantityName():
                return _ends(self.domain(node.name))
            case nodes.Extreme():
                left, right = self.ends(node.left), self.ends(node.right)
                pick = min if node.which == "min" else max
                return pick(left[0], right[0]), pick(left[1], right[1])
            case nodes.Arithmetic():
                return OPERATIONS[node.operator](self.ends(node.left), self.ends(node.right))

    def fit(self, node: QuantityNode, ends: Ends) -> None:
        """Narrow the names of a quantity so that it lies between ends."""
        match node:
            case nodes.QuantityName():
                self.meet(node.name, ends)
            case nodes.Extreme():
                self._fit_extreme(node, ends)
            case nodes.Arithmetic():
                inner = met(self.ends(node), ends)
                left, right = INVERSES[node.operator]
                self.fit(node.left, left(_ends(inner), self.ends(node.right)))
                self.fit(node.right, right(_ends(inner), self.ends(node.left)))

    def _fit_extreme(self, node: nodes.Extreme, ends: Ends) -> None:
        low, high = ends
        beyond = (low, math.inf) if node.which == "min" else (-math.inf, high)
        for part in (node.left, node.right):
            self.fit(part, beyond)
        for part, other in ((node.left, node.right), (node.right, node.left)):
            least, most = self.ends(other)
            # Where the other one cannot be the extreme, this one is.
            if (node.which == "min" and least > high) or (node.which == "max" and most < low):
                self.fit(part, ends)

    def _masks(self, node: nodes.TokensNode) -> tuple[int, int]:
        """What is surely and what is possibly among the tokens of one side."""
        if isinstance(node, nodes.Tokens):
            return node.mask, node.mask
        domain = self.domain(node.name)
        if isinstance(domain, int):
            return domain if domain & (domain - 1) == 0 else 0, domain
        return int(domain[0]), int(domain[1])

    def _within(self, node: nodes.Within) -> bool | None:
        (sure, possible), (right_sure, right_possible) = self._masks(node.left), self._masks(node.right)
        if not possible & ~right_sure:
            return True
        if sure & ~right_possible:
            return False
        # A choice is one token, so it is outside when none of those it may be is inside.
        return False if self._is_choice(node.left) and not possible & right_possible else None

    def _is_choice(self, node: nodes.TokensNode) -> bool:
        return isinstance(node, nodes.TokensName) and self.kinds[node.name] == "choice"

    def _require_within(self, node: nodes.Within, wanted: bool) -> None:
        left, right = node.left, node.right
        (sure, possible), (right_sure, right_possible) = self._masks(left), self._masks(right)
        if wanted:
            if isinstance(left, nodes.TokensName):
                self._keep(left, possible & right_possible, sure)
            elif sure & ~right_possible:
                raise Contradiction
            if isinstance(right, nodes.TokensName):
                self._keep(right, right_possible, right_sure | sure)
        elif self._is_choice(left) and isinstance(left, nodes.TokensName):
            self._keep(left, possible & ~right_sure, 0)
        elif self._within(node) is True:
            raise Contradiction
        elif isinstance(right, nodes.TokensName) and sure == possible and sure & (sure - 1) == 0:
            # One token that is not in the set.
            self._keep(right, right_possible & ~sure, right_sure)

    def _keep(self, node: nodes.TokensName, possible: int, sure: int) -> None:
        if self.kinds[node.name] != "choice":
            self.meet(node.name, (sure, possible))
        elif sure & (sure - 1):
            raise Contradiction
        else:
            self.meet(node.name, possible & sure if sure else possible)


def equal_sides(node: nodes.Both | nodes.Either) -> tuple[QuantityNode, QuantityNode] | None:
    """The two quantities that a truth says are equal, as the reader of expressions writes it; else None."""
    one, other = node.left, node.right
    if not (
        isinstance(node, nodes.Both) and isinstance(one, nodes.AtMost) and isinstance(other, nodes.AtMost)
    ):
        return None
    return (one.left, one.right) if one.left is other.right and one.right is other.left else None


def _factor(product: Ends, other: Ends) -> Ends:
    """What times ``other`` gives ``product``: anything where both may be nought."""
    if product[0] <= 0.0 <= product[1] and other[0] <= 0.0 <= other[1]:
        return ALL
    return over(product, other)


Operation: TypeAlias = "Callable[[Ends, Ends], Ends]"
OPERATIONS: dict[str, Operation] = {"+": plus, "-": minus, "*": times, "/": over}
# From the result and the other operand to the left and to the right operand.
INVERSES: dict[str, tuple[Operation, Operation]] = {
    "+": (minus, minus),
    "-": (plus, lambda result, left: minus(left, result)),
    "*": (_factor, _factor),
    "/": (times, lambda result, left: _factor(left, result)),
}


def met(old: Domain, new: Domain) -> Domain:
    """What is in both. Raises Contradiction when nothing is."""
    if isinstance(old, int) or isinstance(new, int):
        assert isinstance(old, int)
        assert isinstance(new, int)
        if not old & new:
            raise Contradiction
        return old & new
    if isinstance(old[0], int):
        sure, possible = int(old[0]) | int(new[0]), int(old[1]) & int(new[1])
        if sure & ~possible:
            raise Contradiction
        return sure, possible
    low, high = max(old[0], new[0]), min(old[1], new[1])
    if low > high:
        if low > high + ROUNDING * abs(high):
            raise Contradiction
        return high, low
    return low, high


def _ends(domain: Domain) -> Ends:
    assert isinstance(domain, tuple)
    return domain


def _bits(domain: Domain) -> int:
    assert isinstance(domain, int)
    return domain
