"""The keys of many counts of one driver on one output after another, all counts in one pass.

A value is one for all counts, or :class:`Each` with one for each count; most rules do not move with
the count and are evaluated once. What needs no output is evaluated once for all outputs. The meaning
of every step is that of the plain form in ``rulebook.reference``. For so few pairings this is done
before the database has planned its query; a test holds the two equal.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from itertools import repeat
from typing import Any, TypeAlias

from compat.dataset.read import Dataset, Equipment
from compat.engine.gather import Circuit
from compat.engine.joining import moves_with_quantity
from compat.engine.keys import key_of
from compat.engine.site import Site
from compat.model.values import UNKNOWN as NOT_STATED
from compat.model.values import Content, Interval
from compat.rulebook import nodes
from compat.rulebook.nodes import Node, QuantityNode, TokensNode, TruthNode
from compat.rulebook.reference import (
    bits_of_content,
    combined,
    compared,
    compared_with,
    contained,
    quantity_of_content,
)
from compat.rulebook.reference import truth_of_content as truth_of
from compat.rulebook.rules import ParsedRule
from compat.rulebook.truth import EITHER, NO, UNKNOWN, YES, both, either, negated

OF_OUTPUT = "output."


class Each(list[Any]):
    """A value for each count."""


# Of what a node gives, one for all counts or Each of it: an interval, bits, a truth code, a content.
Over: TypeAlias = Any


@dataclass(slots=True)
class _Judged:
    """A rule, its keys by truth code, and whether it applies by the contents of the output."""

    condition: TruthNode
    applying: TruthNode
    keys: tuple[int, ...]
    most: int
    names: tuple[str, ...]
    known: dict[tuple[Content, ...], Over] = field(default_factory=dict)

    @classmethod
    def at(cls, place: int, rule: ParsedRule) -> _Judged:
        """The rule at a place in telling order."""
        codes = sorted((NO, UNKNOWN, EITHER, YES))
        keys = tuple(key_of(code, rule.rule.breach, place) for code in codes)
        names = [
            name.removeprefix(OF_OUTPUT) for name in nodes.names(rule.applies) if name.startswith(OF_OUTPUT)
        ]
        return cls(rule.condition, rule.applies, keys, max(keys), tuple(names))

    def applies(self, run: _Run) -> Over:
        """Whether the rule applies; outputs alike in what it asks need it evaluated once."""
        contents = tuple(map(run.of_output, self.names))
        if contents not in self.known:
            self.known[contents] = run.truth(self.applying)
        return self.known[contents]


@dataclass(slots=True)
class CountKeys:
    """Judges circuits of 1, 2, 3 ... equal drivers (``series``) by rules in telling order."""

    series: Sequence[Circuit]
    site: Site
    dataset: Dataset
    rules: Sequence[ParsedRule]
    _judged: list[_Judged] = field(init=False)
    # What nodes without the output have given, by identity; the rules keep the nodes alive.
    shared: dict[int, Over] = field(default_factory=dict)
    _contents: dict[str, Over] = field(default_factory=dict)
    _of_output: dict[int, bool] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Takes from each rule what is the same for every output."""
        self._judged = [_Judged.at(place, rule) for place, rule in enumerate(self.rules)]

    def on(self, output: Equipment) -> list[int]:
        """The key of each count on an output, in the order of the series."""
        run = _Run(self, output)
        found: Over = 0
        for rule in self._judged:
            least = min(found) if type(found) is Each else found
            # Whatever a rule says, a graver one may have spoken at every count.
            if least < rule.most and rule.applies(run) != NO:
                told = _over(rule.keys.__getitem__, run.truth(rule.condition))
                found = _over_two(max, found, told)
        return list(found) if type(found) is Each else [found] * len(self.series)

    def content(self, name: str) -> Over:
        """The content of a trait that is not the output's."""
        if name not in self._contents:
            self._contents[name] = self._content(name)
        return self._contents[name]

    def _content(self, name: str) -> Over:
        subject, short = name.split(".", 1)
        if subject != "circuit":
            return self.site.traits(subject).get(short, NOT_STATED).content
        first = self.series[0].values.get(name)
        if not moves_with_quantity(self.dataset.vocabulary.traits[name]):
            return first
        return _gathered([first, *(circuit.values.get(name) for circuit in self.series[1:])])

    def is_of_output(self, node: Node) -> bool:
        """Whether a node uses a trait of the output."""
        found = self._of_output.get(id(node))
        if found is None:
            name = getattr(node, "name", "")
            found = name.startswith(OF_OUTPUT) or any(map(self.is_of_output, nodes.children(node)))
            self._of_output[id(node)] = found
        return found


class _Run:
    """Evaluates nodes on one output."""

    __slots__ = ("_all", "_output", "_own", "_shared")

    def __init__(self, of_all: CountKeys, output: Equipment) -> None:
        self._all, self._output = of_all, output.traits
        self._own: dict[int, Over] = {}
        self._shared = of_all.shared

    def of_output(self, name: str) -> Content:
        """The content of a trait of the output by its short name."""
        return self._output.get(name, NOT_STATED).content

    def truth(self, node: TruthNode) -> Over:
        """The truth code of a condition."""
        return self._kept(node, self._truth)

    def _kept(self, node: Any, make: Callable[[Any], Over]) -> Over:
        store = self._own if self._all.is_of_output(node) else self._shared
        key = id(node)
        if key not in store:
            store[key] = make(node)
        return store[key]

    def _truth(self, node: TruthNode) -> Over:
        if isinstance(node, nodes.Both):
            left = self.truth(node.left)
            if left == NO:
                return NO
            right = self.truth(node.right)
            return right if left == YES else _over_two(both, left, right)
        if isinstance(node, nodes.Either):
            left = self.truth(node.left)
            if left == YES:
                return YES
            right = self.truth(node.right)
            return right if left == NO else _over_two(either, left, right)
        if isinstance(node, nodes.Within):
            tokens = self._kept(node.left, self._tokens), self._kept(node.right, self._tokens)
            return _over_two(contained, *tokens)
        if isinstance(node, nodes.AtMost):
            left, right = self._kept(node.left, self._quantity), self._kept(node.right, self._quantity)
            if type(left) is Each and isinstance(right, Interval):
                return _gathered(compared_with(left, right))
            return _over_two(compared, left, right)
        if isinstance(node, nodes.Not):
            return _over(negated, self.truth(node.part))
        if isinstance(node, nodes.YesNoName):
            return _over(truth_of, self._content(node.name))
        return YES if node.value else NO

    def _quantity(self, node: QuantityNode) -> Over:
        if isinstance(node, nodes.QuantityName):
            return _over(quantity_of_content, self._content(node.name))
        if isinstance(node, nodes.Number):
            return Interval(node.value, node.value)
        parts = self._kept(node.left, self._quantity), self._kept(node.right, self._quantity)
        return _over_two(lambda left, right: combined(node, left, right), *parts)

    def _tokens(self, node: TokensNode) -> Over:
        if isinstance(node, nodes.Tokens):
            return node.mask, node.mask
        bit_of = self._all.dataset.vocabulary.bit_of
        return _over(lambda content: bits_of_content(content, node, bit_of), self._content(node.name))

    def _content(self, name: str) -> Over:
        if name.startswith(OF_OUTPUT):
            return self.of_output(name.removeprefix(OF_OUTPUT))
        return self._all.content(name)


def _over(function: Callable[[Any], Any], part: Over) -> Over:
    """A function of a value, count by count where there is one for each."""
    return _gathered(list(map(function, part))) if type(part) is Each else function(part)


def _over_two(function: Callable[[Any, Any], Any], left: Over, right: Over) -> Over:
    if type(left) is Each:
        return _gathered(list(map(function, left, right if type(right) is Each else repeat(right))))
    if type(right) is Each:
        return _gathered(list(map(function, repeat(left), right)))
    return function(left, right)


def _gathered(values: list[Any]) -> Over:
    """One value when all are the same."""
    first = values[0]
    return first if values.count(first) == len(values) else Each(values)
