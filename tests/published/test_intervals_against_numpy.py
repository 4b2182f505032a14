"""Intervals and truth values of the rule language against points drawn inside them with NumPy.

The expression of a rule is worked out a second time by Python itself, over arrays of points, with
units converted by pint. The interval must hold every point; where each trait stands once in the
expression its ends must be reached at corners.
"""

from __future__ import annotations

import itertools
import operator
import re
from collections.abc import Mapping
from functools import partial
from types import SimpleNamespace
from typing import Any

import numpy as np
import pint
import pytest

from compat.dataset.read import Dataset
from compat.model.values import Interval
from compat.rulebook import nodes
from compat.rulebook.cases import evaluation
from compat.rulebook.expression import Reader
from compat.rulebook.nodes import QuantityNode
from compat.rulebook.rules import ParsedRule
from compat.rulebook.truth import EITHER, NO, YES
from tests.published.test_units_against_pint import IN_PINT

REGISTRY: pint.UnitRegistry[float] = pint.UnitRegistry()
ROUNDS, POINTS = 12, 200
SLACK = 1e-9
NAME = re.compile(r"[a-z_]+\.[a-z0-9_]+")

# All operators of the language, negative results and traits that stand twice among them.
EXPRESSIONS = (
    "circuit.input_power_w + circuit.standby_power_w",
    "circuit.input_power_w - circuit.standby_power_w",
    "output.max_load_w * output.capacitive_share",
    "circuit.input_power_w / circuit.driver_count",
    "(circuit.standby_power_w - circuit.input_power_w) * output.capacitive_share",
    "(circuit.standby_power_w - circuit.input_power_w) / output.capacitive_share",
    "min(output.control_current_max_ma, circuit.input_current_a)",
    "max(output.control_current_max_ma, a(0.2))",
    "output.inrush_peak_max_a - output.control_current_max_ma * 2",
    "circuit.input_power_w / (circuit.input_power_w + circuit.standby_power_w)",
    "(circuit.input_power_w - circuit.standby_power_w) * (circuit.input_power_w - circuit.standby_power_w)",
)

Points = Mapping[str, Any]


def base_factor(unit: str) -> float:
    """What turns a figure in a unit of the vocabulary into SI units (or plain numbers)."""
    if unit == "celsius":
        return 1.0  # a scale with a zero of its own: never multiplied into another unit
    return float(REGISTRY.Quantity(1.0, IN_PINT[unit]).to_base_units().magnitude)


def worked_out(text: str, points: Points, dataset: Dataset) -> Any:
    """The expression over arrays, in SI base units, by Python's own arithmetic."""
    vocabulary = dataset.vocabulary
    scope: dict[str, Any] = {"min": np.minimum, "max": np.maximum, "__builtins__": {}}
    scope.update({unit: partial(operator.mul, base_factor(unit)) for unit in vocabulary.units})
    subjects: dict[str, dict[str, Any]] = {}
    for name, figures in points.items():
        subject, trait = name.split(".")
        subjects.setdefault(subject, {})[trait] = figures * base_factor(vocabulary.traits[name].unit)
    scope.update({subject: SimpleNamespace(**traits) for subject, traits in subjects.items()})
    return eval(text, scope)


def drawn(names: list[str], source: np.random.Generator) -> dict[str, Interval]:
    """An interval for each trait, some exact, sizes over six decades."""
    intervals = {}
    for name in names:
        low = float(10 ** source.uniform(-3, 3))
        intervals[name] = Interval(low, low * float(source.choice([1.0, 1.05, 1.0 + source.random(), 4.0])))
    return intervals


def points_in(intervals: Mapping[str, Interval], source: np.random.Generator) -> dict[str, Any]:
    """Every corner of the box and points inside it, one array for each trait."""
    ends = [(interval.low, interval.high) for interval in intervals.values()]
    corners = np.array(list(itertools.product(*ends)))
    lows, highs = np.array([end[0] for end in ends]), np.array([end[1] for end in ends])
    inside = source.uniform(lows, highs, (POINTS, len(ends)))
    return dict(zip(intervals, np.vstack([corners, inside]).T, strict=True))


def si_factor(node: QuantityNode, dataset: Dataset) -> float:
    """What turns a figure of a node into SI units: its own factor times those of the base units."""
    factor = node.measure.factor
    for dimension, power in node.measure.powers:
        bases = [unit for unit in dataset.vocabulary.units.values() if unit.dimension == dimension]
        factor *= (base_factor(bases[0].name) / bases[0].factor) ** power
    return factor


def check(text: str, node: QuantityNode, dataset: Dataset, source: np.random.Generator) -> None:
    names = nodes.names(node)
    intervals = drawn(names, source)
    found = evaluation(intervals, dataset.vocabulary).quantity(node)
    assert found is not None, (text, intervals)
    sampled = np.atleast_1d(worked_out(text, points_in(intervals, source), dataset))
    low, high = (end * si_factor(node, dataset) for end in (found.low, found.high))
    slack = SLACK * max(abs(low), abs(high))
    assert low - slack <= sampled.min(), (text, intervals)
    assert sampled.max() <= high + slack, (text, intervals)
    if len(NAME.findall(text)) == len(names):
        assert sampled.min() == pytest.approx(low, rel=1e-9, abs=slack), (text, intervals)
        assert sampled.max() == pytest.approx(high, rel=1e-9, abs=slack), (text, intervals)


@pytest.mark.parametrize("text", EXPRESSIONS)
def test_interval_holds_every_point_and_its_ends_are_reached(text: str, dataset: Dataset) -> None:
    node = Reader(dataset.vocabulary, ("circuit", "output")).quantity(text)
    source = np.random.default_rng(len(text))
    for _ in range(ROUNDS):
        check(text, node, dataset, source)
    assert nodes.names(node) != []


def test_division_by_an_interval_that_holds_zero_is_not_known(dataset: Dataset) -> None:
    """The points run off both ways, so no finite interval holds them."""
    text = "circuit.input_power_w / (circuit.input_current_a - a(1))"
    node = Reader(dataset.vocabulary, ("circuit",)).quantity(text)
    intervals = {"circuit.input_power_w": Interval(10, 10), "circuit.input_current_a": Interval(0.5, 1.5)}
    near_zero = {
        "circuit.input_power_w": np.full(2, 10.0),
        "circuit.input_current_a": np.array([1 - 1e-9, 1 + 1e-9]),
    }
    sampled = worked_out(text, near_zero, dataset)
    assert sampled.min() < -1e9
    assert sampled.max() > 1e9
    assert evaluation(intervals, dataset.vocabulary).quantity(node) is None


def test_demand_and_limit_of_every_rule(dataset: Dataset, rules: list[ParsedRule]) -> None:
    looked_at = 0
    for rule in rules:
        if rule.demand is None or rule.limit is None:
            continue
        source = np.random.default_rng(int(rule.rule.id[1:]))
        for text, node in (
            (rule.rule.demand, rule.demand),
            (rule.rule.at_most or rule.rule.at_least, rule.limit),
        ):
            for _ in range(ROUNDS):
                check(text, node, dataset, source)
            looked_at += 1
    assert looked_at >= 40


def test_truth_of_every_rule_with_a_figure(dataset: Dataset, rules: list[ParsedRule]) -> None:
    """Yes: every point keeps the limit. No: none does. Either: some do and some do not."""
    seen: set[int] = set()
    for rule in rules:
        if rule.demand is None:
            continue
        names = nodes.names(rule.test)
        source = np.random.default_rng(int(rule.rule.id[1:]))
        for _ in range(ROUNDS):
            intervals = drawn(names, source)
            code = evaluation(intervals, dataset.vocabulary).truth(rule.test)
            points = points_in(intervals, source)
            demand = worked_out(rule.rule.demand, points, dataset)
            limit = worked_out(rule.rule.at_most or rule.rule.at_least, points, dataset)
            kept = np.asarray(demand <= limit if rule.rule.at_most else demand >= limit)
            shown = {YES: kept.all(), NO: not kept.any(), EITHER: kept.any() and not kept.all()}
            assert shown[code], (rule.rule.slug, intervals)
            seen.add(code)
    assert seen == {YES, NO, EITHER}
