"""Whether a rule became tighter or looser: both versions are judged on the same sample points.

The points are the cases of both versions, a fixed random sample, and the limits of both. Most changes of
a limit move few values, which a blind sample misses, so from every point each name is turned to where a
comparison of either version tips over, and to either side of it.
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from compat.model.changes import Points
from compat.model.rule import Case
from compat.model.values import Content, Interval, TokenSet
from compat.model.verdicts import RANK, Verdict
from compat.model.vocabulary import TraitDefinition, Vocabulary
from compat.release.differences import content_text
from compat.rulebook import nodes
from compat.rulebook.cases import evaluation, given_values
from compat.rulebook.rules import ParsedRule
from compat.rulebook.truth import verdict_of

SamplePoint = dict[str, Content]
RANDOM_POINTS = 30
MOST_CASES = 100
FIGURES = (0.0, 0.1, 1.0, 5.0, 20.0, 50.0, 100.0, 230.0, 1000.0)
SMALL_STEP = 1e-3


@dataclass(frozen=True, slots=True)
class RuleVersion:
    """One version of a rule with its own vocabulary and cases."""

    rule: ParsedRule
    vocabulary: Vocabulary
    cases: Sequence[Case]

    def verdict(self, point: SamplePoint) -> Verdict:
        """What this version says of a point."""
        run = evaluation(point, self.vocabulary)
        return verdict_of(run.truth(self.rule.condition), self.rule.rule.breach)


def comparable(old: RuleVersion, new: RuleVersion) -> bool:
    """Whether the names that both versions use mean the same, so that a point fits both."""
    shared = set(old.rule.names) & set(new.rule.names)
    traits = ((old.vocabulary.traits[name], new.vocabulary.traits[name]) for name in shared)
    return all((a.kind, a.unit, a.choices) == (b.kind, b.unit, b.choices) for a, b in traits)


def compared(old: RuleVersion, new: RuleVersion) -> Points:
    """How many points the new version judges worse, and how many better. Raises ValueFault."""
    tried = worse = better = 0
    example = ""
    for point in sample_points(old, new):
        before, after = old.verdict(point), new.verdict(point)
        tried += 1
        worse += RANK[after] > RANK[before]
        better += RANK[after] < RANK[before]
        if before != after and not example:
            example = f"{_point_text(point, new.vocabulary)}: {before} -> {after}"
    return Points(tried=tried, worse=worse, better=better, example=example)


def _point_text(point: SamplePoint, vocabulary: Vocabulary) -> str:
    parts = []
    for name, value in point.items():
        trait = vocabulary.traits.get(name)
        parts.append(f"{name} = {content_text(value, vocabulary.unit_symbol(trait.unit) if trait else '')}")
    return ", ".join(parts)


def sample_points(old: RuleVersion, new: RuleVersion) -> Iterator[SamplePoint]:
    """Points over the names of both versions, in a fixed order; a value has a place in both.

    Raises ValueFault when a case does not fit its vocabulary.
    """
    names = {name: new.vocabulary.traits[name] for name in new.rule.names}
    names |= {name: old.vocabulary.traits[name] for name in old.rule.names if name not in names}
    words = {name: _words(trait, old.vocabulary, new.vocabulary) for name, trait in names.items()}
    starts: list[SamplePoint] = []
    for version in (old, new):
        for case in version.cases[:MOST_CASES]:
            values = given_values(case, version.vocabulary)
            starts.append({name: _in_both(values.get(name), words[name]) for name in names})
    figures = {name: _figures(name, starts) for name in names}
    source = random.Random(f"points of {new.rule.rule.id}")
    for _ in range(RANDOM_POINTS):
        starts.append({n: source.choice(_options(t, words[n], figures[n])) for n, t in names.items()})
    for start in starts:
        yield start
        for name, trait in names.items():
            if trait.kind == "quantity":
                options: Sequence[Content] = [None, *_around(_tipping(start, name, old, new), figures[name])]
            else:
                options = _options(trait, words[name], [])
            yield from ({**start, name: option} for option in options if option != start[name])


def _tipping(start: SamplePoint, name: str, old: RuleVersion, new: RuleVersion) -> list[float]:
    """Values of a name at which a comparison of either version tips, the other values as they are.

    A comparison is taken as a straight line in the name between 1 and 2, which nearly all are.
    """
    found: set[float] = set()
    for version in (old, new):
        for tree in (version.rule.applies, version.rule.test):
            for node in nodes.walk(tree):
                if isinstance(node, nodes.AtMost) and name in nodes.names(node):
                    found.update(_roots(node, start, name, version.vocabulary))
    return sorted(found)


def _roots(node: nodes.AtMost, start: SamplePoint, name: str, vocabulary: Vocabulary) -> Iterator[float]:
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
