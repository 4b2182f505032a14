"""Random values of the vocabulary: unknowns, zeros, huge and tiny ones, wide and exact intervals."""

from __future__ import annotations

import math
import random
from collections.abc import Iterable, Mapping

from hypothesis import strategies as st

from compat.model.values import Content, Interval, TokenSet
from compat.model.vocabulary import TraitDefinition, Vocabulary

ENDS = st.one_of(
    st.sampled_from([0.0, 5e-324, 1e-9, 0.1, 0.3, 1.0, 20.0, 230.0, 250.0, 1e9, 1e300, 1.7e308]),
    st.integers(0, 300).map(float),
    st.floats(0, 1e4),
    st.sampled_from([float("nan"), float("inf")]),
)

FIGURES = [0.0, 5e-324, 1e-9, 0.1, 0.3, 1.0, 3.0, 20.0, 50.0, 100.0, 230.0, 250.0, 1000.0, 1e9, 1e300]


def intervals() -> st.SearchStrategy[Interval]:
    """Intervals with ends in order where they are numbers; also such with NaN or infinite ends."""

    def ordered(pair: tuple[float, float]) -> Interval:
        low, high = pair
        return Interval(low, high) if not low > high else Interval(high, low)

    exact = ENDS.map(lambda end: Interval(end, end))
    return st.one_of(exact, st.tuples(ENDS, ENDS).map(ordered))


def contents(trait: TraitDefinition, vocabulary: Vocabulary) -> st.SearchStrategy[Content]:
    """Any content that a trait may have, unknown included."""
    if trait.kind == "quantity":
        return st.one_of(st.none(), intervals())
    if trait.kind == "yes_no":
        return st.sampled_from([None, True, False])
    tokens = st.sampled_from(vocabulary.values_of(trait))
    if trait.kind == "choice":
        return st.one_of(st.none(), tokens)

    def divided(parts: tuple[frozenset[str], frozenset[str]]) -> TokenSet:
        return TokenSet(parts[0], parts[0] | parts[1])

    return st.one_of(st.none(), st.tuples(st.frozensets(tokens), st.frozensets(tokens)).map(divided))


def values(names: Iterable[str], vocabulary: Vocabulary) -> st.SearchStrategy[Mapping[str, Content]]:
    """Values for some traits by full name."""
    return st.fixed_dictionaries({name: contents(vocabulary.traits[name], vocabulary) for name in names})


def seeded(names: Iterable[str], vocabulary: Vocabulary) -> st.SearchStrategy[Mapping[str, Content]]:
    """Values for many traits at once, made from one drawn seed: drawing each by itself takes minutes."""
    wanted = list(names)
    return st.integers(0, 2**40).map(lambda seed: random_values(wanted, vocabulary, random.Random(seed)))


def random_values(names: Iterable[str], vocabulary: Vocabulary, source: random.Random) -> dict[str, Content]:
    """Values for some traits by full name from a random source."""
    return {name: random_content(vocabulary.traits[name], vocabulary, source) for name in names}


def random_content(trait: TraitDefinition, vocabulary: Vocabulary, source: random.Random) -> Content:
    """One content: unknown in about one case of six."""
    if source.random() < 0.17:
        return None
    if trait.kind == "quantity":
        low = source.choice(FIGURES) * source.choice([1.0, 1.0, source.random()])
        wide = source.choice([1.0, 1.0, 1.0 + source.random(), source.choice([2.0, 1e6])])
        return Interval(low, low * wide) if math.isfinite(low * wide) else Interval(low, low)
    if trait.kind == "yes_no":
        return source.random() < 0.5
    tokens = vocabulary.values_of(trait)
    if trait.kind == "choice":
        return source.choice(tokens)
    possible = frozenset(token for token in tokens if source.random() < 0.5)
    return TokenSet(frozenset(token for token in possible if source.random() < 0.8), possible)
