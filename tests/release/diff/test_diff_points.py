"""The points on which two versions of a rule are compared find even small moves of a limit."""

from __future__ import annotations

import pytest

from compat.dataset.read import Dataset
from compat.model.rule import Case
from compat.model.values import Interval
from compat.release.rule_comparison import RuleVersion, comparable, compared, sample_points
from compat.rulebook.rules import ParsedRule, cases_file, read_cases
from tests.engine.made import exact, rule

MINIMUM = {"demand": "circuit.input_power_w", "at_least": "output.min_load_w"}
SHARED = {
    "applies": "output.method == dali",
    "demand": "circuit.dali_current_ma",
    "at_most": "min(output.dali_supply_current_ma, ma(250))",
}


def side(dataset: Dataset, cases: tuple[Case, ...] = (), **fields: str) -> RuleVersion:
    return RuleVersion(rule(dataset, **fields), dataset.vocabulary, cases)


TIGHTER: dict[str, tuple[dict[str, str], dict[str, str]]] = {
    "factor": (MINIMUM, {**MINIMUM, "at_least": "output.min_load_w * 1.01"}),
    "constant": (MINIMUM, {**MINIMUM, "at_least": "output.min_load_w + w(0.1)"}),
    "within a least": (SHARED, {**SHARED, "at_most": "min(output.dali_supply_current_ma, ma(249.9))"}),
    "in another unit": (SHARED, {**SHARED, "at_most": "min(output.dali_supply_current_ma, a(0.2499))"}),
    "demand": (MINIMUM, {**MINIMUM, "demand": "circuit.input_power_w * 0.99"}),
    "more methods": (
        {**SHARED, "applies": "output.method == dali"},
        {**SHARED, "applies": "output.method in (dali, dmx)"},
    ),
    "at the limit itself": (
        {"requires": "circuit.input_power_w >= output.min_load_w"},
        {"requires": "circuit.input_power_w > output.min_load_w"},
    ),
    "words of a set": (
        {"requires": "circuit.load_types in (motor, incandescent)"},
        {"requires": "circuit.load_types in (incandescent, incandescent)"},
    ),
    "a condition more": (
        {"requires": "output.needs_neutral"},
        {"requires": "output.needs_neutral and circuit.neutral_at_control"},
    ),
    "a limit in what it applies to": (
        {**MINIMUM, "applies": "circuit.input_power_w <= w(100)"},
        {**MINIMUM, "applies": "circuit.input_power_w <= w(101)"},
    ),
}


@pytest.mark.parametrize("name", TIGHTER)
def test_a_tighter_rule_is_worse_somewhere_and_better_nowhere(name: str, dataset: Dataset) -> None:
    loose, tight = (side(dataset, **fields) for fields in TIGHTER[name])
    found = compared(loose, tight)
    assert found.worse > 0
    assert found.better == 0
    back = compared(tight, loose)
    assert (back.better > 0, back.worse) == (True, 0)


def test_a_rule_is_neither_than_itself(dataset: Dataset, rules: list[ParsedRule]) -> None:
    for parsed in rules[::20]:
        cases = tuple(read_cases(cases_file(parsed.file)).case)
        same = RuleVersion(parsed, dataset.vocabulary, cases)
        found = compared(same, same)
        assert (found.worse, found.better, found.example) == (0, 0, "")
        assert found.tried > len(cases)


def test_the_same_formula_in_other_words_moves_no_point(dataset: Dataset) -> None:
    one = side(dataset, requires="circuit.input_power_w >= output.min_load_w")
    other = side(dataset, requires="not circuit.input_power_w < output.min_load_w")
    found = compared(one, other)
    assert (found.worse, found.better) == (0, 0)


def test_the_points_are_the_same_each_time(dataset: Dataset) -> None:
    old, new = side(dataset, **MINIMUM), side(dataset, **{**MINIMUM, "at_least": "w(20)"})
    assert list(sample_points(old, new)) == list(sample_points(old, new))


def test_the_values_of_the_cases_are_among_the_points(dataset: Dataset) -> None:
    given = {"circuit.input_power_w": [17, 23], "output.min_load_w": 19.5}
    case = Case.model_validate({"name": "Made", "kind": "holds", "expect": "marginal", "given": given})
    plain = side(dataset, **MINIMUM)
    first = next(sample_points(RuleVersion(plain.rule, plain.vocabulary, (case,)), plain))
    assert first["circuit.input_power_w"] == Interval(17, 23)
    assert first["output.min_load_w"] == exact(19.5)


def test_every_name_is_also_not_known(dataset: Dataset) -> None:
    found = list(sample_points(side(dataset, **SHARED), side(dataset, **SHARED)))
    for name in side(dataset, **SHARED).rule.names:
        assert any(point[name] is None for point in found)
        assert any(point[name] is not None for point in found)


def test_rules_of_one_vocabulary_are_comparable(dataset: Dataset) -> None:
    assert comparable(side(dataset, **MINIMUM), side(dataset, **SHARED))
