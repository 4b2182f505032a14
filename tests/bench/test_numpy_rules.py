"""A sample of the benchmark's pairings: the database and the NumPy form give the same keys."""

from __future__ import annotations

import random

import numpy as np
from compat.engine.pairing import PairingPlan

from compat.dataset.read import Dataset
from compat.engine.protection import is_shared
from compat.rulebook.rules import ParsedRule
from tests.bench.bench_pairing import by_database, made_circuits, made_outputs
from tests.bench.numpy_rules import Evaluator, columns


def test_both_forms_give_the_same_keys(dataset: Dataset, rules: list[ParsedRule]) -> None:
    source = random.Random(7)
    judged = [rule for rule in rules if rule.rule.scope != "bus" and not is_shared(rule)]
    circuits, outputs = made_circuits(40, dataset, source), made_outputs(100, dataset, source)
    keys, _, _ = by_database(judged, circuits, outputs, dataset)
    plan = PairingPlan(judged)
    left = columns(circuits, plan.names("circuit"), dataset.vocabulary)
    right = columns(outputs, plan.names("output"), dataset.vocabulary)
    assert np.array_equal(keys, Evaluator(left, right).keys(judged, keys.shape))
    assert len(np.unique(keys // 1024)) >= 3, "the sample shows several verdicts"
