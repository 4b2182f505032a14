"""The rules evaluated with NumPy over whole arrays: a second, independent form to measure and hold against.

Circuits lie along the first axis and outputs along the second, so that a part of a rule that needs only
one of them is computed once a circuit or once an output by itself. An unknown quantity is NaN at both
ends, an unknown yes or no is -1, a set is a pair of bit masks.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
import numpy.typing as npt

from compat.model.values import Content, Interval, TokenSet
from compat.model.verdicts import RANK
from compat.model.vocabulary import Vocabulary
from compat.rulebook import nodes
from compat.rulebook.rules import ParsedRule

Array = npt.NDArray[Any]
Values = Mapping[str, Content]
NO, UNKNOWN, EITHER, YES = range(4)
TOLERANCE = 1e-9
NOT_TABLE = np.array([YES, UNKNOWN, EITHER, NO], dtype=np.uint8)
OR_TABLE = np.array(
    [
        [NO, UNKNOWN, EITHER, YES],
        [UNKNOWN, UNKNOWN, UNKNOWN, YES],
        [EITHER, UNKNOWN, EITHER, YES],
        [YES, YES, YES, YES],
    ],
    dtype=np.uint8,
)


def columns(
    subjects: Sequence[Values], names: Sequence[str], vocabulary: Vocabulary
) -> dict[str, tuple[Array, ...]]:
    """Every named trait of some subjects as arrays of their number."""
    return {name: _column([subject.get(name) for subject in subjects], name, vocabulary) for name in names}


def _column(contents: Sequence[Content], name: str, vocabulary: Vocabulary) -> tuple[Array, ...]:
    trait = vocabulary.traits[name]
    if trait.kind == "quantity":
        ends = [(c.low, c.high) if isinstance(c, Interval) else (np.nan, np.nan) for c in contents]
        return tuple(np.array(ends, dtype=np.float64).reshape(-1, 2).T)
    if trait.kind == "yes_no":
        return (np.array([int(c) if isinstance(c, bool) else -1 for c in contents], dtype=np.int8),)
    words = vocabulary.values_of(trait)
    every = (1 << len(words)) - 1
    masks = [_masks(content, words, every) for content in contents]
    return tuple(np.array(masks, dtype=np.int64).reshape(-1, 2).T)


def _masks(content: Content, words: Sequence[str], every: int) -> tuple[int, int]:
    if isinstance(content, TokenSet):
        sure, possible = (sum(1 << words.index(w) for w in part) for part in (content.sure, content.possible))
        return sure, possible
    if isinstance(content, str):
        return (1 << words.index(content),) * 2
    return 0, every


class Evaluator:
    """Evaluates trees over the columns of circuits and outputs; equal parts are computed once."""

    def __init__(
        self, circuits: Mapping[str, tuple[Array, ...]], outputs: Mapping[str, tuple[Array, ...]]
    ) -> None:
        self._columns = {name: tuple(a[:, None] for a in arrays) for name, arrays in circuits.items()}
        self._columns |= {name: tuple(a[None, :] for a in arrays) for name, arrays in outputs.items()}
        self._done: dict[nodes.Node, Any] = {}

    def keys(self, rules: Sequence[ParsedRule], shape: tuple[int, int]) -> Array:
        """The key of each pairing: the greatest over the rules."""
        found = np.zeros(shape, dtype=np.int16)
        with np.errstate(all="ignore"):
            for place, rule in enumerate(rules):
                codes = self.truth(rule.condition)
                np.maximum(found, _key_table(rule, place)[codes], out=found)
        return found

    def truth(self, node: nodes.TruthNode) -> Array:
        """Truth codes, as small as broadcasting allows."""
        if node not in self._done:
            self._done[node] = self._truth(node)
        found: Array = self._done[node]
        return found

    def _truth(self, node: nodes.TruthNode) -> Array:
        match node:
            case nodes.Always():
                return np.full((1, 1), YES if node.value else NO, dtype=np.uint8)
            case nodes.YesNoName():
                (flags,) = self._columns[node.name]
                return np.array([NO, YES, UNKNOWN], dtype=np.uint8)[flags]
            case nodes.AtMost():
                return _at_most(self.quantity(node.left), self.quantity(node.right))
            case nodes.Within():
                (left_sure, left_possible), (right_sure, right_possible) = (
                    self._tokens(node.left),
                    self._tokens(node.right),
                )
                held = (left_possible & ~right_sure) == 0
                broken = (left_sure & ~right_possible) != 0
                return np.where(held, YES, np.where(broken, NO, UNKNOWN)).astype(np.uint8)
            case nodes.Not():
                return NOT_TABLE[self.truth(node.part)]
            case nodes.Both():
                return np.minimum(self.truth(node.left), self.truth(node.right))
            case nodes.Either():
                return OR_TABLE[self.truth(node.left), self.truth(node.right)]

    def quantity(self, node: nodes.QuantityNode) -> tuple[Array, Array]:
        """Low and high ends, NaN where they are not known."""
        if node not in self._done:
            self._done[node] = self._quantity(node)
        found: tuple[Array, Array] = self._done[node]
        return found

    def _quantity(self, node: nodes.QuantityNode) -> tuple[Array, Array]:
        if isinstance(node, nodes.Number):
            value = np.full((1, 1), node.value)
            return value, value
        if isinstance(node, nodes.QuantityName):
            low, high = self._columns[node.name]
            return low, high
        (a, b), (c, d) = self.quantity(node.left), self.quantity(node.right)
        if isinstance(node, nodes.Extreme):
            pick = np.minimum if node.which == "min" else np.maximum
            return pick(a, c), pick(b, d)
        if node.operator == "+":
            return _known(a + c, b + d)
        if node.operator == "-":
            return _known(a - d, b - c)
        pairs = [(a, c), (a, d), (b, c), (b, d)]
        corners = [one * other if node.operator == "*" else one / other for one, other in pairs]
        low, high = np.minimum.reduce(corners), np.maximum.reduce(corners)
        if node.operator == "/":
            zero = (c <= 0) & (d >= 0)
            low, high = np.where(zero, np.nan, low), np.where(zero, np.nan, high)
        return _known(low, high)

    def _tokens(self, node: nodes.TokensNode) -> tuple[Array, Array]:
        if isinstance(node, nodes.Tokens):
            mask = np.full((1, 1), node.mask, dtype=np.int64)
            return mask, mask
        sure, possible = self._columns[node.name]
        return sure, possible


def _known(low: Array, high: Array) -> tuple[Array, Array]:
    unknown = ~(np.isfinite(low) & np.isfinite(high))
    return np.where(unknown, np.nan, low), np.where(unknown, np.nan, high)


def _at_most(left: tuple[Array, Array], right: tuple[Array, Array]) -> Array:
    (low, high), (least, most) = left, right
    held = high <= least + TOLERANCE * np.abs(least)
    broken = low > most + TOLERANCE * np.abs(most)
    unknown = np.isnan(low) | np.isnan(least)
    return np.where(unknown, UNKNOWN, np.where(held, YES, np.where(broken, NO, EITHER))).astype(np.uint8)


def _key_table(rule: ParsedRule, place: int) -> Array:
    """Key by truth code: 1024 x rank of the verdict + 1023 - place, 0 where the rule holds."""
    grave = rule.rule.breach == "hazard"
    ranks = [RANK[rule.rule.breach], RANK["unproven"], RANK["unproven" if grave else "marginal"], 0]
    return np.array([rank * 1024 + 1023 - place if rank else 0 for rank in ranks], dtype=np.int16)
