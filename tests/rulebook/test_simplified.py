"""A simplified tree means what the tree meant."""

from __future__ import annotations

import random

import pytest
from hypothesis import given, settings

from compat.dataset.read import Dataset
from compat.rulebook import nodes
from compat.rulebook.contractor import equal_sides
from compat.rulebook.evaluator import Evaluator
from compat.rulebook.expression import Reader
from compat.rulebook.simplified import simplified
from compat.rulebook.units import NUMBER
from tests.rulebook.test_contractor import ALL_POINTS, bits_of, truths

POINTS = random.Random(1).sample(ALL_POINTS, 40)


@settings(max_examples=60, deadline=None)
@given(truths)
def test_a_simplified_truth_is_the_same_at_every_point(condition: nodes.TruthNode) -> None:
    shorter = simplified(condition)
    assert len(list(nodes.walk(shorter))) <= len(list(nodes.walk(condition)))
    for point in POINTS:
        before, after = (Evaluator(point.__getitem__, bits_of).truth(tree) for tree in (condition, shorter))
        assert before == after


def test_factors_that_only_carry_a_unit_go_and_an_equality_stays_one(dataset: Dataset) -> None:
    reader = Reader(dataset.vocabulary, {"driver", "supply"})
    tree = simplified(
        reader.truth(
            "driver.input_power_w == supply.voltage_v * driver.input_current_a * driver.power_factor"
            " * w(1) / (v(1) * a(1))"
        )
    )
    assert not any(isinstance(node, nodes.Number) for node in nodes.walk(tree))
    assert isinstance(tree, nodes.Both)
    assert equal_sides(tree) is not None


@pytest.mark.parametrize(
    ("operator", "right", "expected"), [("/", 4.0, 0.5), ("*", 3.0, 6.0), ("+", 1.0, 3.0), ("-", 2.0, 0.0)]
)
def test_constants_are_worked_out(operator: str, right: float, expected: float) -> None:
    made = simplified(
        nodes.Arithmetic(operator, nodes.Number(2.0, NUMBER), nodes.Number(right, NUMBER), NUMBER)  # type: ignore[arg-type]
    )
    assert made == nodes.Number(expected, NUMBER)


def test_a_division_by_nought_stays() -> None:
    tree = nodes.Arithmetic("/", nodes.Number(2.0, NUMBER), nodes.Number(0.0, NUMBER), NUMBER)
    assert simplified(tree) == tree
