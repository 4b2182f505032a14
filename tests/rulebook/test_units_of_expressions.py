"""Units: only like dimensions meet, and a figure in another unit of its dimension is converted."""

from __future__ import annotations

import pytest

from compat.model.values import Interval
from compat.model.vocabulary import Vocabulary
from compat.rulebook.expression import ExpressionError
from compat.rulebook.truth import NO, YES
from tests.rulebook.parts import (
    clause_truths,
    ends,
    exact,
    reader,
    truths,
)

UNLIKE = [
    ("circuit.input_power_w <= a(1)", "current cannot be compared with or added to power"),
    ("circuit.input_power_w <= circuit.apparent_power_va", "apparent_power cannot be compared"),
    ("circuit.input_power_w <= 5", "a number cannot be compared with or added to power"),
    ("5 <= circuit.input_power_w", "power cannot be compared with or added to a number"),
    ("circuit.input_power_w + 1 <= w(1)", "a number cannot be compared with or added to power"),
    ("circuit.input_power_w - v(1) <= w(1)", "voltage cannot be compared with or added to power"),
    ("min(circuit.input_power_w, circuit.input_current_a) <= w(1)", "current cannot be compared"),
    (
        "circuit.input_current_a * supply.voltage_v <= w(1)",
        "power cannot be compared with or added to current · voltage",
    ),
    (
        "circuit.input_power_w / supply.voltage_v <= a(1)",
        "current cannot be compared with or added to power · voltage^-1",
    ),
    (
        "circuit.input_power_w * circuit.input_power_w <= circuit.input_power_w",
        "power cannot be compared with or added to power^2",
    ),
    ("supply.ambient_celsius <= k(300)", "temperature cannot be compared with or added to celsius"),
    ("circuit.input_power_w == circuit.input_current_a", "cannot be compared"),
    ("circuit.input_power_w != 0", "cannot be compared"),
]


@pytest.mark.parametrize(("text", "sentence"), UNLIKE)
def test_unlike_dimensions_are_refused(text: str, sentence: str, vocabulary: Vocabulary) -> None:
    with pytest.raises(ExpressionError) as caught:
        reader(vocabulary).truth(text)
    assert sentence in str(caught.value)


# A condition that holds exactly when the conversion is right: the figure on both sides of its twin.
CONVERTED = [
    (
        "circuit.dali_current_ma <= a(0.25)",
        {"circuit.dali_current_ma": 250.0},
        {"circuit.dali_current_ma": 250.1},
    ),
    (
        "circuit.input_current_a <= ma(250)",
        {"circuit.input_current_a": 0.25},
        {"circuit.input_current_a": 0.2501},
    ),
    (
        "ka(0.001) <= circuit.dali_current_ma",
        {"circuit.dali_current_ma": 1000.0},
        {"circuit.dali_current_ma": 999.9},
    ),
    (
        "circuit.dim_floor_percent <= 0.05",
        {"circuit.dim_floor_percent": 5.0},
        {"circuit.dim_floor_percent": 5.1},
    ),
    (
        "0.05 <= circuit.dim_floor_percent",
        {"circuit.dim_floor_percent": 5.0},
        {"circuit.dim_floor_percent": 4.9},
    ),
    (
        "output.capacitive_share <= percent(50)",
        {"output.capacitive_share": 0.5},
        {"output.capacitive_share": 0.51},
    ),
    ("circuit.cable_length_m <= m(20)", {"circuit.cable_length_m": 20.0}, {"circuit.cable_length_m": 20.1}),
    (
        "driver.inrush_width_us <= ms(0.2)",
        {"driver.inrush_width_us": 200.0},
        {"driver.inrush_width_us": 201.0},
    ),
    (
        "driver.inrush_width_us <= s(0.0002)",
        {"driver.inrush_width_us": 200.0},
        {"driver.inrush_width_us": 201.0},
    ),
    ("supply.voltage_v <= mv(230000)", {"supply.voltage_v": 230.0}, {"supply.voltage_v": 231.0}),
    (
        "circuit.dali_current_ma <= output.max_current_a",
        {"circuit.dali_current_ma": 1300.0, "output.max_current_a": 1.3},
        {"circuit.dali_current_ma": 1301.0, "output.max_current_a": 1.3},
    ),
    (
        "output.max_current_a <= circuit.dali_current_ma",
        {"circuit.dali_current_ma": 1300.0, "output.max_current_a": 1.3},
        {"circuit.dali_current_ma": 1299.0, "output.max_current_a": 1.3},
    ),
    (
        "max(circuit.input_current_a, circuit.dali_current_ma) <= ma(300)",
        {"circuit.input_current_a": 0.1, "circuit.dali_current_ma": 300.0},
        {"circuit.input_current_a": 0.1, "circuit.dali_current_ma": 301.0},
    ),
    (
        "circuit.input_current_a + circuit.dali_current_ma <= a(0.5)",
        {"circuit.input_current_a": 0.3, "circuit.dali_current_ma": 200.0},
        {"circuit.input_current_a": 0.3, "circuit.dali_current_ma": 201.0},
    ),
    (
        "circuit.dali_current_ma - circuit.input_current_a <= ma(100)",
        {"circuit.input_current_a": 0.2, "circuit.dali_current_ma": 300.0},
        {"circuit.input_current_a": 0.2, "circuit.dali_current_ma": 301.0},
    ),
    (
        "circuit.input_power_w / w(1) <= circuit.driver_count",
        {"circuit.input_power_w": 3.0, "circuit.driver_count": 3.0},
        {"circuit.input_power_w": 3.1, "circuit.driver_count": 3.0},
    ),
    (
        "circuit.dali_current_ma / circuit.input_current_a <= percent(50)",
        {"circuit.dali_current_ma": 50.0, "circuit.input_current_a": 0.1},
        {"circuit.dali_current_ma": 51.0, "circuit.input_current_a": 0.1},
    ),
]


@pytest.mark.parametrize(
    ("text", "at_limit", "past_limit"), CONVERTED, ids=[text for text, _, _ in CONVERTED]
)
def test_units_of_one_dimension_are_converted(
    text: str,
    at_limit: dict[str, float],
    past_limit: dict[str, float],
    vocabulary: Vocabulary,
) -> None:
    tree = reader(vocabulary).truth(text)
    rows = [{name: exact(value) for name, value in row.items()} for row in (at_limit, past_limit)]
    assert truths(tree, rows, vocabulary) == [YES, NO]
    assert clause_truths(tree, rows, vocabulary) == [YES, NO]


def test_a_sum_is_in_the_unit_of_its_first_part(vocabulary: Vocabulary) -> None:
    tree = reader(vocabulary).quantity("circuit.dali_current_ma + a(0.5)")
    rows = [{"circuit.dali_current_ma": Interval(20.0, 30.0)}]
    assert ends(tree, rows, vocabulary) == [(520.0, 530.0)]


def test_every_unit_is_a_function_of_the_language(vocabulary: Vocabulary) -> None:
    for unit in vocabulary.units:
        assert reader(vocabulary).quantity(f"{unit}(2)").measure.factor == vocabulary.units[unit].factor


def test_no_unit_has_the_name_of_a_function_or_a_word(vocabulary: Vocabulary) -> None:
    """Otherwise ``min(1)`` or a word would have two meanings."""
    words = {word for choices in vocabulary.choices.values() for word in choices}
    assert not {"min", "max", "true", "false", "always", "and", "or", "not", "in"} & (
        set(vocabulary.units) | words
    )
