"""The database and the plain-Python form give the same key for every line, whatever the values."""

from __future__ import annotations

import random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from compat.dataset.read import Dataset
from compat.engine.handover import locked_connection
from compat.engine.keys import key_of
from compat.engine.line_computed import NEEDS
from compat.engine.lines import Line
from compat.engine.lines_bulk import LinesPlan, fill, line_keys
from compat.model.values import Content, Interval
from compat.rulebook.cases import evaluation
from compat.rulebook.rules import ParsedRule
from compat.rulebook.sql import base_columns
from tests.engine.made_lines import bus_rules, random_line, site_of

SLOW = settings(max_examples=30, deadline=None, suppress_health_check=list(HealthCheck))


def reference_key(line: Line, rules: list[ParsedRule], dataset: Dataset) -> int:
    site = site_of(dataset)
    given_values: dict[str, Content] = {
        f"{subject}.{name}": trait.content
        for subject in ("supply", "cable", "source_impedance")
        for name, trait in site.traits(subject).items()
    }
    run = evaluation({**given_values, **line.values}, dataset.vocabulary)
    return max(key_of(run.truth(rule.condition), rule.rule.breach, place) for place, rule in enumerate(rules))


@SLOW
@given(seed=st.integers(0, 2**40), count=st.integers(1, 12))
def test_every_line_has_the_key_of_the_reference(
    seed: int, count: int, dataset: Dataset, rules: list[ParsedRule]
) -> None:
    source = random.Random(seed)
    lines = [random_line(f"L{place}", dataset, source) for place in range(count)]
    of_lines = bus_rules(rules)
    assert of_lines
    found = line_keys(lines, site_of(dataset), dataset, rules)
    assert found == [reference_key(line, of_lines, dataset) for line in lines]


@SLOW
@given(seed=st.integers(0, 2**40))
def test_every_value_of_a_line_is_that_of_the_reference(
    seed: int, dataset: Dataset, rules: list[ParsedRule]
) -> None:
    """Column by column, for every trait of a line that is joined or computed, used by a rule or not."""
    source = random.Random(seed)
    lines = [random_line(f"L{place}", dataset, source) for place in range(6)]
    plan = LinesPlan([], dataset.vocabulary)
    plan._traits = list(dataset.vocabulary.of_subject("line"))
    connection = locked_connection()
    fill(connection, plan, lines, site_of(dataset), dataset.vocabulary)
    quantities = [t.full_name for t in dataset.vocabulary.of_subject("line") if t.kind == "quantity"]
    columns = [column for name in quantities for column in base_columns(name, "quantity")]
    query = f"SELECT {', '.join(columns)} FROM ({plan._values_sql()}) ORDER BY line_index"
    for line, row in zip(lines, connection.execute(query).fetchall(), strict=True):
        for name, low, high in zip(quantities, row[::2], row[1::2], strict=True):
            expected = line.values[name]
            assert (low is None) == (high is None) == (expected is None), name
            if isinstance(expected, Interval):
                assert (low, high) == pytest.approx((expected.low, expected.high), rel=1e-12), name
    connection.close()


def test_every_computed_trait_names_what_it_needs(dataset: Dataset) -> None:
    computed = {t.name for t in dataset.vocabulary.of_subject("line") if t.gather == "computed"}
    assert computed == set(NEEDS)
    names = {trait.name for trait in dataset.vocabulary.of_subject("line")}
    assert {part for parts in NEEDS.values() for part in parts} <= names


def test_no_line_gives_no_key(dataset: Dataset, rules: list[ParsedRule]) -> None:
    assert line_keys([], site_of(dataset), dataset, rules) == []
