"""The contractor against brute force: the true point stays, order does not matter, and it ends."""

from __future__ import annotations

import itertools
import math
import random
from collections.abc import Iterator, Mapping
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from compat.dataset.read import Dataset
from compat.model.relation import Relation, RelationCase, RelationSource
from compat.model.values import Content, Interval, TokenSet
from compat.rulebook import fixed_point, intervals, nodes
from compat.rulebook.boxes import Boxes
from compat.rulebook.contractor import Contradiction, Domain, Kind, Narrowing
from compat.rulebook.evaluator import Evaluator
from compat.rulebook.fixed_point import contracted
from compat.rulebook.nodes import QuantityNode, TruthNode
from compat.rulebook.relations import ParsedRelation
from compat.rulebook.truth import YES
from compat.rulebook.units import NUMBER

QUANTITIES = ("a", "b", "c")
TOKENS = 3
KINDS: dict[str, Kind] = {
    "a": "quantity",
    "b": "quantity",
    "c": "quantity",
    "flag": "yes_no",
    "kind": "choice",
    "group": "set",
}
WORDS = ("x", "y", "z")


def bits_of(_: str, word: str) -> int:
    return 1 << WORDS.index(word)


def relation(condition: TruthNode, name: str = "F0900") -> ParsedRelation:
    """A relation of a condition; what a file must also have is filled in."""
    made = Relation(
        schema_="relation/1",
        id=name,
        slug="made",
        title="Made.",
        holds="made",
        sources=[RelationSource(source="S0001", basis="common_practice")],
        case=[RelationCase(name="made", given={})] * 2,
    )
    return ParsedRelation(made, Path("made.toml"), nodes.Always(True), nodes.Always(False), condition)


def arithmetic(operator: str, left: QuantityNode, right: QuantityNode) -> QuantityNode:
    if operator in ("min", "max"):
        return nodes.Extreme(operator, left, right, NUMBER)  # type: ignore[arg-type]
    return nodes.Arithmetic(operator, left, right, NUMBER)  # type: ignore[arg-type]


quantities: st.SearchStrategy[QuantityNode] = st.recursive(
    st.one_of(
        st.sampled_from(QUANTITIES).map(lambda name: nodes.QuantityName(name, NUMBER)),
        st.integers(0, 4).map(lambda number: nodes.Number(float(number), NUMBER)),
    ),
    lambda part: st.builds(arithmetic, st.sampled_from(["+", "-", "*", "/", "min", "max"]), part, part),
    max_leaves=4,
)
tokens: st.SearchStrategy[nodes.TokensNode] = st.one_of(
    st.sampled_from(["kind", "group"]).map(lambda name: nodes.TokensName(name, "list", 7)),
    st.integers(1, 7).map(lambda mask: nodes.Tokens(mask, "list", "words")),
)
truths: st.SearchStrategy[TruthNode] = st.recursive(
    st.one_of(
        st.builds(nodes.AtMost, quantities, quantities),
        st.builds(nodes.Within, tokens, tokens),
        st.just(nodes.YesNoName("flag")),
    ),
    lambda part: st.one_of(
        st.builds(nodes.Not, part), st.builds(nodes.Both, part, part), st.builds(nodes.Either, part, part)
    ),
    max_leaves=4,
)


def points() -> Iterator[dict[str, Content]]:
    """Every point of a small grid."""
    numbers = [Interval(float(n), float(n)) for n in range(4)]
    sets = [
        TokenSet.exactly(*(w for w, bit in zip(WORDS, (1, 2, 4), strict=True) if mask & bit))
        for mask in range(8)
    ]
    for a, b, c in itertools.product(numbers, repeat=3):
        for flag in (True, False):
            for kind in WORDS:
                for group in sets[:: 3 if a.low else 1]:
                    yield {"a": a, "b": b, "c": c, "flag": flag, "kind": kind, "group": group}


ALL_POINTS = list(points())


def is_true(condition: TruthNode, point: Mapping[str, Content]) -> bool:
    """By the plain meaning of the language; a division by nought is no truth."""
    return Evaluator(lambda name: point[name], bits_of).truth(condition) == YES


def blank() -> dict[str, Domain]:
    return {"a": (0.0, 3.0), "b": (0.0, 3.0), "c": (0.0, 3.0), "flag": 3, "kind": 7, "group": (0, 7)}


def holds(box: Mapping[str, Domain], point: Mapping[str, Content]) -> bool:
    """Whether a point is in a box."""
    for name, content in point.items():
        domain = box[name]
        if isinstance(content, bool):
            assert isinstance(domain, int)
            inside = bool(domain & (2 if content else 1))
        elif isinstance(content, Interval):
            assert isinstance(domain, tuple)
            inside = domain[0] <= content.low <= domain[1]
        elif isinstance(content, str):
            assert isinstance(domain, int)
            inside = bool(domain & bits_of("list", content))
        else:
            assert isinstance(content, TokenSet)
            assert isinstance(domain, tuple)
            mask = sum(bits_of("list", word) for word in content.sure)
            inside = int(domain[0]) & ~mask == 0 and mask & ~int(domain[1]) == 0
        if not inside:
            return False
    return True


@settings(max_examples=120, deadline=None)
@given(st.lists(truths, min_size=1, max_size=3), st.randoms(use_true_random=False))
def test_no_true_point_is_removed(conditions: list[TruthNode], chance: random.Random) -> None:
    """Every point of a grid where all conditions hold is still in the box afterwards."""
    sample = chance.sample(ALL_POINTS, 400)
    true = [point for point in sample if all(is_true(condition, point) for condition in conditions)]
    relations = [relation(condition, f"F090{place}") for place, condition in enumerate(conditions)]
    try:
        box = contracted(relations, blank(), KINDS).box
    except Contradiction:
        assert true == []
        return
    for point in true:
        assert holds(box, point), (point, box)


@settings(max_examples=60, deadline=None)
@given(st.lists(truths, min_size=2, max_size=4), st.randoms(use_true_random=False))
def test_the_order_of_relations_does_not_matter(conditions: list[TruthNode], chance: random.Random) -> None:
    relations = [relation(condition, f"F090{place}") for place, condition in enumerate(conditions)]
    outcomes = []
    for _ in range(3):
        try:
            done = contracted(relations, blank(), KINDS)
            outcomes.append((done.box, done.low_set_by, done.high_set_by, done.token_set_by))
        except Contradiction:
            outcomes.append(None)
        chance.shuffle(relations)
    assert outcomes[0] == outcomes[1] == outcomes[2]


def test_a_known_truth_of_a_point_is_that_of_the_language() -> None:
    """On a box of one point the contractor and the plain meaning say the same, save for rounding."""
    chance = random.Random(3)
    half = nodes.Arithmetic("/", nodes.QuantityName("a", NUMBER), nodes.Number(2.0, NUMBER), NUMBER)
    condition = nodes.Both(
        nodes.AtMost(half, nodes.QuantityName("b", NUMBER)),
        nodes.Not(nodes.Within(nodes.TokensName("kind", "list", 7), nodes.TokensName("group", "list", 7))),
    )
    seen = set()
    for point in chance.sample(ALL_POINTS, 600):
        box = _box_of(point)
        found = Narrowing(box, KINDS).truth(condition)
        if found is not None:
            assert found == is_true(condition, point)
            seen.add(found)
    assert seen == {True, False}


def _box_of(point: Mapping[str, Content]) -> dict[str, Domain]:
    box = blank()
    for name, content in point.items():
        if isinstance(content, Interval):
            box[name] = (content.low, content.high)
        elif isinstance(content, bool):
            box[name] = 2 if content else 1
        elif isinstance(content, str):
            box[name] = bits_of("list", content)
        elif isinstance(content, TokenSet):
            mask = sum(bits_of("list", word) for word in content.sure)
            box[name] = (mask, mask)
    return box


def test_it_ends_where_each_round_narrows_a_little() -> None:
    """a <= 0.99 b and b <= a leave nought only, which is met in endless steps; it stops and keeps nought."""
    a, b = nodes.QuantityName("a", NUMBER), nodes.QuantityName("b", NUMBER)
    share = nodes.Arithmetic("*", b, nodes.Number(0.99, NUMBER), NUMBER)
    rounds = []
    relations = [relation(nodes.AtMost(a, share), "F0901"), relation(nodes.AtMost(b, a), "F0902")]
    box = contracted(relations, blank(), KINDS).box
    rounds.append(box)
    assert box["a"][0] == 0.0  # type: ignore[index]
    assert 0.0 < box["a"][1] < 3.0  # type: ignore[index, operator]
    assert box["a"][1] >= 3.0 * 0.99**fixed_point.MOST_ROUNDS * 0.99  # type: ignore[index, operator]


FINITE = st.floats(-1e6, 1e6, allow_nan=False)


@st.composite
def ends(draw: st.DrawFn) -> tuple[float, float]:
    low, high = sorted((draw(FINITE), draw(FINITE)))
    return low, high


@pytest.mark.parametrize("operator", ["plus", "minus", "times", "over"])
@settings(max_examples=60, deadline=None)
@given(left=ends(), right=ends())
def test_interval_arithmetic_encloses_that_of_fractions(
    operator: str, left: tuple[float, float], right: tuple[float, float]
) -> None:
    """Held against exact fractions: the ends of a result are among those of its corners."""
    if operator == "over" and right[0] <= 0.0 <= right[1]:
        assert math.inf in map(abs, intervals.over(left, right)) or left == (0.0, 0.0)
        return
    exact = {
        "plus": lambda one, other: one + other,
        "minus": lambda one, other: one - other,
        "times": lambda one, other: one * other,
        "over": lambda one, other: one / other,
    }[operator]
    corners = [exact(Fraction(one), Fraction(other)) for one in left for other in right]
    low, high = getattr(intervals, operator)(left, right)
    assert low <= min(corners)
    assert high >= max(corners)
    if max(map(abs, corners)) > Fraction(10) ** 300:
        return  # an end beyond all floats is infinite, which encloses it
    slack = max(map(abs, corners)) * Fraction(1, 10**14) + Fraction(1, 10**300)
    assert low >= min(corners) - slack
    assert high <= max(corners) + slack


def test_contents_go_into_a_box_and_come_out_again(dataset: Dataset) -> None:
    names = {
        "driver.methods": TokenSet(frozenset({"switched"}), frozenset({"switched", "dali"})),
        "driver.load_type": "motor",
        "driver.emergency": False,
        "driver.power_factor": Interval(0.5, 0.9),
    }
    boxes = Boxes(dataset.vocabulary, names)
    filled = boxes.filled(boxes.blank, names)
    assert {name: boxes.content(name, filled[name]) for name in names} == names
    unknown = {name: boxes.content(name, boxes.blank[name]) for name in names}
    assert unknown["driver.load_type"] is None
    assert unknown["driver.emergency"] is None
