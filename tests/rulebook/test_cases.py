"""Judging the cases of a rule, and telling what cannot be judged."""

from __future__ import annotations

from pathlib import Path

import pytest

from compat.dataset.values import ValueFault
from compat.model.rule import Case
from compat.model.values import Interval, TokenSet
from compat.model.vocabulary import Vocabulary
from compat.rulebook.cases import given_values, outcome_of
from compat.rulebook.rules import read_rule
from tests.rulebook.test_rule_files import RULE, write


def case(**given: object) -> Case:
    names = {"method": "output.method", "load": "circuit.input_power_w", "limit": "output.max_load_w"}
    return Case(
        name="x", kind="holds", given={names[key]: value for key, value in given.items()}, expect="works"
    )


OUTCOMES = [
    (case(method="switched", load=9, limit=10), "works"),
    (case(method="switched", load=10, limit=10), "works"),
    (case(method="switched", load=10.001, limit=10), "fails"),
    (case(method="switched", load=[9, 11], limit=10), "marginal"),
    (case(method="switched", load="unknown", limit=10), "unproven"),
    (case(method="switched", load=9, limit="unknown"), "unproven"),
    (case(method="switched", load=9), "unproven"),
    (case(method="dali", load=11, limit=10), "does_not_apply"),
    (case(method="unknown", load=9, limit=10), "works"),
    (case(method="unknown", load=11, limit=10), "unproven"),
    (case(method="unknown", load=[9, 11], limit=10), "unproven"),
]


def test_outcomes(tmp_path: Path, vocabulary: Vocabulary) -> None:
    """A rule that may not apply and would be broken is unproven; one that would hold works either way."""
    rule = read_rule(write(tmp_path, RULE), vocabulary)
    cases, expected = [entry for entry, _ in OUTCOMES], [outcome for _, outcome in OUTCOMES]
    assert [outcome_of(rule, entry, vocabulary) for entry in cases] == expected


def test_values_of_a_case_are_those_of_a_table(vocabulary: Vocabulary) -> None:
    given = {
        "circuit.input_power_w": [9, 11],
        "output.method": "dali",
        "circuit.methods": {"sure": ["dali"], "possible": ["dali", "dmx"]},
        "circuit.load_types": ["motor"],
        "output.needs_neutral": True,
        "output.max_load_w": "unknown",
    }
    found = given_values(Case(name="x", kind="holds", given=given, expect="works"), vocabulary)
    assert found == {
        "circuit.input_power_w": Interval(9.0, 11.0),
        "output.method": "dali",
        "circuit.methods": TokenSet(frozenset({"dali"}), frozenset({"dali", "dmx"})),
        "circuit.load_types": TokenSet.exactly("motor"),
        "output.needs_neutral": True,
        "output.max_load_w": None,
    }


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        ({"circuit.weight_kg": 1}, "'circuit.weight_kg' is not in the vocabulary"),
        ({"circuit.input_power_w": "much"}, "'much' is not allowed; allowed: a number of 0 or more"),
        ({"circuit.input_power_w": [2, 1]}, "the low end 2 is above the high end 1"),
        ({"circuit.input_power_w": -1}, "-1 is outside 0 to"),
        ({"circuit.input_power_w": float("nan")}, "nan is not a finite number"),
        ({"output.method": "telepathy"}, "'telepathy' is not a word of the list 'method'"),
        ({"output.needs_neutral": "yes"}, "'yes' is not allowed; allowed: true or false"),
    ],
)
def test_a_case_with_an_unfit_value(given: dict[str, object], sentence: str, vocabulary: Vocabulary) -> None:
    with pytest.raises(ValueFault) as caught:
        given_values(Case(name="x", kind="holds", given=given, expect="works"), vocabulary)
    assert sentence in str(caught.value)


def test_each_word_of_a_list_has_its_own_bit(vocabulary: Vocabulary) -> None:
    bits = vocabulary.bits
    for name, tokens in vocabulary.choices.items():
        assert sum(bits[name, token] for token in tokens) == (1 << len(tokens)) - 1
        assert len(tokens) < 31, "bits are kept in a 32-bit whole number"
