"""The NumPy form of the join gives the keys of the loop."""

from __future__ import annotations

import random

import pytest

from compat.dataset.read import Dataset
from compat.engine.join import keys_by_loop
from compat.rulebook.rules import ParsedRule, is_of_circuit
from tests.bench.numpy_clauses import keys_by_numpy, sides_of
from tests.engine.test_join import subjects


@pytest.mark.parametrize("seed", range(6))
def test_it_gives_the_keys_of_the_loop(seed: int, dataset: Dataset, rules: list[ParsedRule]) -> None:
    judged = [rule for rule in rules if is_of_circuit(rule)]
    circuits, outputs = subjects(judged, dataset, random.Random(seed))
    sides = {id(clause): sides_of(clause, circuits, outputs) for rule in judged for clause in rule.clauses}
    found = keys_by_numpy(judged, sides)
    assert found.tolist() == keys_by_loop(circuits, outputs, judged)
    assert len({key for row in found.tolist() for key in row}) > 1
