"""Whether a condition can be true for any values at all.

The answer "no" is sure. "Yes" may be wrong where quantities hang together by arithmetic, or where
the search would take too long: then the condition counts as possible.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise, product
from typing import TypeAlias

from compat.dataset.values import LARGEST
from compat.model.vocabulary import Vocabulary
from compat.rulebook import nodes
from compat.rulebook.nodes import Node, QuantityNode, TruthNode

MOST_STEPS = 2_000
MOST_GROUPS_OF_WORDS = 7
BOTH = (True, False)
Value: TypeAlias = "bool | int | float"
Key: TypeAlias = "str | Node"


def possible(condition: TruthNode, vocabulary: Vocabulary) -> bool:
    """False only when no values of the vocabulary make the condition true."""
    return _Search(condition, _domains(condition, vocabulary)).found()


def constant(node: QuantityNode) -> float | None:
    """The number a quantity is by itself; None when it depends on a trait or is not defined."""
    match node:
        case nodes.Number():
            return node.value
        case nodes.Arithmetic() | nodes.Extreme():
            left, right = constant(node.left), constant(node.right)
            if left is None or right is None:
                return None
            if isinstance(node, nodes.Extreme):
                return min(left, right) if node.which == "min" else max(left, right)
            return _computed(node.operator, left, right)
        case _:
            return None


def _computed(operator: str, left: float, right: float) -> float | None:
    match operator:
        case "+":
            return left + right
        case "-":
            return left - right
        case "*":
            return left * right
    return left / right if right else None


def _named(node: QuantityNode) -> tuple[str, float] | None:
    """A trait times a factor above 0, such as comes from changing the unit."""
    match node:
        case nodes.QuantityName():
            return node.name, 1.0
        case nodes.Arithmetic(operator="*", left=nodes.QuantityName() as trait, right=nodes.Number() as by):
            return (trait.name, by.value) if by.value > 0 else None
    return None


@dataclass(slots=True)
class _Search:
    condition: TruthNode
    domains: Mapping[Key, Sequence[Value]]
    chosen: dict[Key, Value] = field(default_factory=dict)
    steps: int = 0

    def found(self) -> bool:
        return self._below(list(self.domains))

    def _below(self, open_keys: list[Key]) -> bool:
        self.steps += 1
        value = self._truth(self.condition)
        if value is not None or not open_keys or self.steps > MOST_STEPS:
            return value is not False
        key, *rest = open_keys
        for choice in self.domains[key]:
            self.chosen[key] = choice
            if self._below(rest):
                return True
        del self.chosen[key]
        return False

    def _truth(self, node: TruthNode) -> bool | None:
        match node:
            case nodes.Always():
                return node.value
            case nodes.Not():
                part = self._truth(node.part)
                return None if part is None else not part
            case nodes.Both() | nodes.Either():
                decisive = isinstance(node, nodes.Either)
                left = self._truth(node.left)
                if left is decisive:
                    return left
                right = self._truth(node.right)
                return right if left is not None or right is decisive else None
            case nodes.YesNoName():
                return self._yes_no(node.name)
            case nodes.Within():
                return self._within(node)
            case nodes.AtMost():
                return self._at_most(node)

    def _yes_no(self, key: Key) -> bool | None:
        value = self.chosen.get(key)
        return None if value is None else bool(value)

    def _within(self, node: nodes.Within) -> bool | None:
        if node in self.domains:
            return self._yes_no(node)
        masks = [
            side.mask if isinstance(side, nodes.Tokens) else self.chosen.get(side.name)
            for side in (node.left, node.right)
        ]
        left, right = masks
        return None if left is None or right is None else int(left) & ~int(right) == 0

    def _at_most(self, node: nodes.AtMost) -> bool | None:
        if node in self.domains:
            return self._yes_no(node)
        ends = [self._quantity(side) for side in (node.left, node.right)]
        left, right = ends
        return None if left is None or right is None else left <= right

    def _quantity(self, node: QuantityNode) -> float | None:
        fixed, named = constant(node), _named(node)
        if fixed is not None:
            return fixed
        if named is None or named[0] not in self.chosen:
            return None
        return float(self.chosen[named[0]]) * named[1]


def _domains(condition: TruthNode, vocabulary: Vocabulary) -> dict[Key, Sequence[Value]]:
    """For every part that can vary, values that stand for all values it can have."""
    domains: dict[Key, Sequence[Value]] = {}
    sought: dict[str, list[tuple[int, Node]]] = {}
    limits: dict[str, list[float]] = {}
    for node in nodes.walk(condition):
        match node:
            case nodes.YesNoName():
                domains[node.name] = BOTH
            case nodes.Within(left=nodes.TokensName() as trait, right=nodes.Tokens() as words):
                sought.setdefault(trait.name, []).append((words.mask, node))
            case nodes.Within(left=nodes.Tokens() as words, right=nodes.TokensName() as trait):
                sought.setdefault(trait.name, []).append((words.mask, node))
            case nodes.Within():
                domains[node] = BOTH
            case nodes.AtMost():
                limit = _limit(node)
                if limit is not None:
                    limits.setdefault(limit[0], []).append(limit[1])
                elif constant(node.left) is None or constant(node.right) is None:
                    domains[node] = BOTH
    for name, conditions in sought.items():
        values = _token_values(name, [mask for mask, _ in conditions], vocabulary)
        domains |= {node: BOTH for _, node in conditions} if values is None else {name: values}
    for name, ends in limits.items():
        domains[name] = _quantities(ends)
    return domains


def _limit(node: nodes.AtMost) -> tuple[str, float] | None:
    """The trait and its limit, of a comparison of one trait with a number."""
    for one, other in ((node.left, node.right), (node.right, node.left)):
        named, fixed = _named(one), constant(other)
        if named is not None and fixed is not None:
            return named[0], fixed / named[1]
    return None


def _quantities(limits: list[float]) -> list[float]:
    ends = sorted({0.0, LARGEST, *(limit for limit in limits if 0 <= limit <= LARGEST)})
    return [*ends, *((low + high) / 2 for low, high in pairwise(ends))]


def _token_values(name: str, masks: list[int], vocabulary: Vocabulary) -> list[int] | None:
    """Bits that stand for all values of a choice or a set; None when there are too many.

    Words that no mask tells apart go together: a set holds none of them, some or all.
    """
    trait = vocabulary.traits[name]
    groups: dict[tuple[bool, ...], int] = {}
    for place in range(len(vocabulary.values_of(trait))):
        bit = 1 << place
        kind = tuple(bool(mask & bit) for mask in masks)
        groups[kind] = groups.get(kind, 0) | bit
    if trait.kind == "choice":
        return [group & -group for group in groups.values()]
    if len(groups) > MOST_GROUPS_OF_WORDS:
        return None
    parts = [tuple(dict.fromkeys((0, group & -group, group))) for group in groups.values()]
    return [sum(chosen) for chosen in product(*parts)]
