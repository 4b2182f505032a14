"""What can never be true is found; what can be true is never called impossible."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from compat.checks.logic import constant, possible
from compat.dataset.read import Dataset
from compat.model.values import Content, Interval, TokenSet
from compat.rulebook import nodes
from compat.rulebook.cases import evaluation
from compat.rulebook.expression import Reader
from compat.rulebook.truth import YES

SUBJECTS = frozenset({"circuit", "output", "supply"})
NEVER = [
    "false",
    "not always",
    "output.needs_neutral and not output.needs_neutral",
    "output.method == dali and output.method == dmx",
    "output.method not in (forward_phase, reverse_phase, analog_0_10v, dali, dmx, switched)",
    "output.method == dali and output.method in (dmx, switched)",
    "motor in circuit.load_types and circuit.load_types in (integral_lamp, incandescent)",
    "(motor, fluorescent) in circuit.load_types and not motor in circuit.load_types",
    "output.min_load_w < w(0)",
    "output.min_load_w > w(40) and output.min_load_w < w(30)",
    "output.max_current_a > a(3) and output.max_current_a <= ma(2000)",
    "w(1) > w(2)",
    "min(w(1), w(2)) * 3 >= w(4)",
    "output.min_load_w >= w(2000000000)",
    "output.min_load_w <= output.max_load_w and not output.min_load_w <= output.max_load_w",
]
SOMETIMES = [
    "always",
    "output.needs_neutral",
    "output.method == dali or output.method == dmx",
    "motor in circuit.load_types and not circuit.load_types in (motor, incandescent)",
    "not (motor, fluorescent) in circuit.load_types and motor in circuit.load_types",
    "circuit.load_types in (motor, fluorescent) and not (motor, fluorescent) in circuit.load_types",
    "output.method in circuit.methods and not circuit.methods in (dali, dmx)",
    "output.min_load_w > w(40) and output.min_load_w < w(41)",
    "output.max_current_a >= a(2) and output.max_current_a <= ma(2000)",
    "output.min_load_w == w(0)",
    "output.min_load_w / output.max_load_w > 1 and output.max_load_w > w(5)",
    "w(1) / (w(2) - w(2)) > 1 or always",
]


@pytest.mark.parametrize("text", NEVER)
def test_impossible(text: str, dataset: Dataset) -> None:
    assert not possible(Reader(dataset.vocabulary, SUBJECTS).truth(text), dataset.vocabulary)


@pytest.mark.parametrize("text", SOMETIMES)
def test_possible(text: str, dataset: Dataset) -> None:
    assert possible(Reader(dataset.vocabulary, SUBJECTS).truth(text), dataset.vocabulary)


METHODS = ("forward_phase", "reverse_phase", "analog_0_10v", "dali", "dmx", "switched")
TYPES = ("integral_lamp", "motor", "fluorescent", "incandescent")
words = st.lists(st.sampled_from(TYPES), min_size=1, max_size=3, unique=True).map(", ".join)
ATOMS = st.one_of(
    st.just("output.needs_neutral"),
    st.sampled_from(METHODS).map(lambda word: f"output.method == {word}"),
    words.map(lambda some: f"circuit.load_types in ({some},)"),
    words.map(lambda some: f"({some},) in circuit.load_types"),
    st.tuples(st.sampled_from(["<=", "<", ">=", ">"]), st.integers(0, 4)).map(
        lambda limit: f"output.min_load_w {limit[0]} w({limit[1]})"
    ),
    st.just("output.min_load_w <= output.max_load_w"),
)
CONDITIONS = st.recursive(
    ATOMS,
    lambda part: st.one_of(
        st.tuples(part, part).map(lambda pair: f"({pair[0]} and {pair[1]})"),
        st.tuples(part, part).map(lambda pair: f"({pair[0]} or {pair[1]})"),
        part.map(lambda one: f"not ({one})"),
    ),
    max_leaves=6,
)
VALUES = st.fixed_dictionaries(
    {
        "output.needs_neutral": st.booleans(),
        "output.method": st.sampled_from(METHODS),
        "circuit.load_types": st.sets(st.sampled_from(TYPES)).map(lambda some: TokenSet.exactly(*some)),
        "output.min_load_w": st.sampled_from([0.0, 0.5, 1.0, 2.5, 3.0, 4.0, 7.0]).map(
            lambda x: Interval(x, x)
        ),
        "output.max_load_w": st.sampled_from([0.0, 2.0, 9.0]).map(lambda x: Interval(x, x)),
    }
)


@given(text=CONDITIONS, values=VALUES)
@settings(max_examples=300, deadline=None)
def test_what_some_values_make_true_is_possible(
    dataset: Dataset, text: str, values: dict[str, Content]
) -> None:
    """The answer "no" is sure: no values of ours may make such a condition true."""
    condition = Reader(dataset.vocabulary, SUBJECTS).truth(text)
    if evaluation(values, dataset.vocabulary).truth(condition) == YES:
        assert possible(condition, dataset.vocabulary)


def test_a_large_search_ends_and_counts_as_possible(dataset: Dataset) -> None:
    """Six things in five places, none shared: impossible, and known for the steps it takes to see so."""
    names = iter(trait.full_name for trait in dataset.vocabulary.traits.values() if trait.kind == "yes_no")
    things = [[nodes.YesNoName(next(names)) for _ in range(5)] for _ in range(6)]
    condition: nodes.TruthNode = nodes.Always(True)
    for places in things:
        somewhere: nodes.TruthNode = nodes.Always(False)
        for place in places:
            somewhere = nodes.Either(somewhere, place)
        condition = nodes.Both(condition, somewhere)
    for first, second in combinations(things, 2):
        for one, other in zip(first, second, strict=True):
            condition = nodes.Both(condition, nodes.Not(nodes.Both(one, other)))
    assert possible(condition, dataset.vocabulary)
    few = nodes.Both(things[0][0], nodes.Not(things[0][0]))
    assert not possible(nodes.Both(few, condition), dataset.vocabulary)


def test_constants(dataset: Dataset) -> None:
    reader = Reader(dataset.vocabulary, SUBJECTS)
    assert constant(reader.quantity("max(w(2), w(3)) * 4 - w(1)")) == 11.0
    assert constant(reader.quantity("w(1) / (2 - 2)")) is None
    assert constant(reader.quantity("output.min_load_w + w(1)")) is None
