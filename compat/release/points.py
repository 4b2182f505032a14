"""Points to judge two versions of a rule on: the cases of both, a fixed sample, and the limits of both.

Most changes of a limit move few values, which a blind sample misses. So from every point each name
is turned to where a comparison of either version tips over, and to either side of it.
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from compat.model.rule import Case
from compat.model.values import Content, Interval, TokenSet
from compat.model.vocabulary import TraitDefinition, Vocabulary
from compat.rulebook import nodes
from compat.rulebook.cases import evaluation, given_values
from compat.rulebook.rules import ParsedRule

Point = dict[str, Content]
SAMPLE = 30
MOST_CASES = 100
FIGURES = (0.0, 0.1, 1.0, 5.0, 20.0, 50.0, 100.0, 230.0, 1000.0)
SMALL_STEP = 1e-3


@dataclass(frozen=True, slots=True)
class Side:
    """One version of a rule with its own vocabulary and cases."""

    rule: ParsedRule
    vocabulary: Vocabulary
    cases: Sequence[Case]


def points(old: Side, new: Side) -> Iterator[Point]:
    """Points over the names of both versions, in a fixed order; a value has a place in both.

    Raises ValueFault when a case does not fit its vocabulary.
    """
    names = {name: new.vocabulary.traits[name] for name in new.rule.names}
    names |= {name: old.vocabulary.traits[name] for name in old.rule.names if name not in names}
    words = {name: _words(trait, old.vocabulary, new.vocabulary) for name, trait in names.items()}
    starts: list[Point] = []
    for side in (old, new):
        for case in side.cases[:MOST_CASES]:
            values = given_values(case, side.vocabulary)
            starts.append({name: _in_both(values.get(name), words[name]) for name in names})
    figures = {name: _figures(name, starts) for name in names}
    source = random.Random(f"points of {new.rule.rule.id}")
    for _ in range(SAMPLE):
        starts.append({n: source.choice(_options(t, words[n], figures[n])) for n, t in names.items()})
    for start in starts:
        yield start
        for name, trait in names.items():
            if trait.kind == "quantity":
                options: Sequence[Content] = [None, *_around(_tipping(start, name, old, new), figures[name])]
            else:
                options = _options(trait, words[name], [])
            yield from ({**start, name: option} for option in options if option != start[name])


def _tipping(start: Point, name: str, old: Side, new: Side) -> list[float]:
    """Values of a name at which a comparison of either version tips, the other values as they are.

    A comparison is taken as a straight line in the name between 1 and 2, which nearly all are.
    """
    found: set[float] = set()
    for side in (old, new):
        for tree in (side.rule.applies, side.rule.test):
            for node in nodes.walk(tree):
                if isinstance(node, nodes.AtMost) and name in nodes.names(node):
                    found.update(_roots(node, start, name, side.vocabulary))
    return sorted(found)


def _roots(node: nodes.AtMost, start: Point, name: str, vocabulary: Vocabulary) -> Iterator[float]:
    for pick in ("low", "high"):
        excess = []
        for value in (1.0, 2.0):
            run = evaluation({**start, name: Interval(value, value)}, vocabulary)
            left, right = run.quantity(node.left), run.quantity(node.right)
            if left is None or right is None:
                return
            excess.append(getattr(left, pick) - getattr(right, pick))
        slope = excess[1] - excess[0]
        if slope:
            root = 1.0 - excess[0] / slope
            if 0.0 <= root <= 1e9:
                yield root


def _around(tips: Sequence[float], figures: Sequence[float]) -> list[Content]:
    """Exact values at the tips and just beside, so between any two as well; an interval across each."""
    values = {*tips, *figures}
    for tip in tips:
        values.update((tip * (1 - SMALL_STEP), tip * (1 + SMALL_STEP), tip / 2, tip * 2))
    exact: list[Content] = [Interval(value, value) for value in sorted(values)]
    return exact + [Interval(tip / 2, tip * 2) for tip in tips if tip]


def _options(trait: TraitDefinition, words: Sequence[str], figures: Sequence[float]) -> list[Content]:
    """Contents that a trait may have; the unknown is among them."""
    if trait.kind == "quantity":
        return [None, *(Interval(figure, figure) for figure in figures)]
    if trait.kind == "yes_no":
        return [None, True, False]
    if trait.kind == "choice":
        return [None, *words]
    pairs = [TokenSet.exactly(first, second) for first, second in pairwise(words)]
    return [None, TokenSet.exactly(), *(TokenSet.exactly(word) for word in words), *pairs]


def _figures(name: str, starts: Sequence[Mapping[str, Content]]) -> list[float]:
    values = (start[name] for start in starts)
    ends = {end for value in values if isinstance(value, Interval) for end in (value.low, value.high)}
    return sorted({*FIGURES, *ends})


def _words(trait: TraitDefinition, old: Vocabulary, new: Vocabulary) -> list[str]:
    """The words of a choice or a set that both vocabularies have."""
    if not trait.choices:
        return []
    before, after = old.choices.get(trait.choices, {}), new.choices.get(trait.choices, {})
    return [word for word in after if word in before] if before else list(after)


def _in_both(value: Content, words: Sequence[str]) -> Content:
    """The value, or the unknown in place of one with a word that one vocabulary lacks."""
    if isinstance(value, str):
        return value if value in words else None
    if isinstance(value, TokenSet):
        return value if value.possible.issubset(words) else None
    return value
