"""The database and the plain-Python form give the same key for every pairing, whatever the values."""

from __future__ import annotations

from collections.abc import Mapping

import duckdb
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from compat.dataset.read import Dataset
from compat.engine.frames import columns_of
from compat.engine.handover import columns_into_database, locked_connection
from compat.engine.keys import key_of
from compat.engine.pairing import PairingPlan
from compat.model.values import Content, Interval
from compat.rulebook.cases import evaluation
from compat.rulebook.rules import ParsedRule
from tests.engine.strategies import seeded


@pytest.fixture(scope="module")
def connection() -> duckdb.DuckDBPyConnection:
    return locked_connection()


def database_keys(
    plan: PairingPlan,
    circuits: list[Mapping[str, Content]],
    outputs: list[Mapping[str, Content]],
    dataset: Dataset,
    connection: duckdb.DuckDBPyConnection,
) -> list[int]:
    vocabulary = dataset.vocabulary
    circuit_columns = columns_of(circuits, plan.names("circuit"), vocabulary, "circuit_index")
    columns_into_database(connection, "circuits", circuit_columns)
    output_columns = columns_of(outputs, plan.names("output"), vocabulary, "output_index")
    columns_into_database(connection, "outputs", output_columns)
    plan.run(connection)
    rows = connection.execute("SELECT key FROM pairings ORDER BY circuit_index, output_index").fetchall()
    return [key for (key,) in rows]


def reference_key(rules: list[ParsedRule], values: Mapping[str, Content], dataset: Dataset) -> int:
    run = evaluation(values, dataset.vocabulary)
    keys = [key_of(run.truth(rule.condition), rule.rule.breach, place) for place, rule in enumerate(rules)]
    return max(keys)


@settings(max_examples=30, deadline=None, suppress_health_check=list(HealthCheck))
@given(data=st.data())
def test_every_pairing_has_the_key_of_the_reference(
    data: st.DataObject, dataset: Dataset, rules: list[ParsedRule], connection: duckdb.DuckDBPyConnection
) -> None:
    plan = PairingPlan(rules)
    circuits = data.draw(st.lists(seeded(plan.names("circuit"), dataset.vocabulary), min_size=1, max_size=6))
    outputs = data.draw(st.lists(seeded(plan.names("output"), dataset.vocabulary), min_size=1, max_size=6))
    found = database_keys(plan, circuits, outputs, dataset, connection)
    expected = [
        reference_key(rules, {**circuit, **output}, dataset) for circuit in circuits for output in outputs
    ]
    assert found == expected


def test_one_step_either_side_of_every_limit(
    dataset: Dataset, rules: list[ParsedRule], connection: duckdb.DuckDBPyConnection
) -> None:
    """At the limit a rule holds; a share of 1e-6 past it, it is broken; both ways alike."""
    plan = PairingPlan(rules)
    ratings = [0.1 + 0.2, 3 * 0.1, 7.0, 200.0, 1e-9, 1e12]
    outputs: list[Mapping[str, Content]] = [
        {"output.method": "forward_phase", "output.max_load_w": Interval(rating, rating)}
        for rating in ratings
    ]
    loads = [rating * (1 + step) for rating in ratings for step in (-1e-6, 0.0, 1e-15, 1e-6)]
    circuits: list[Mapping[str, Content]] = [
        {"circuit.input_power_w": Interval(load, load)} for load in loads
    ]
    found = database_keys(plan, circuits, outputs, dataset, connection)
    expected = [
        reference_key(rules, {**circuit, **output}, dataset) for circuit in circuits for output in outputs
    ]
    assert found == expected


def test_many_small_groups_are_put_together(
    dataset: Dataset,
    rules: list[ParsedRule],
    connection: duckdb.DuckDBPyConnection,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Merging groups of outputs changes the plan and no verdict."""
    plan = PairingPlan(rules)
    methods = list(dataset.vocabulary.choices["method"])
    outputs: list[Mapping[str, Content]] = [{"output.method": method} for method in methods]
    circuits: list[Mapping[str, Content]] = [{"circuit.input_power_w": Interval(9.0, 11.0)}]
    few = database_keys(plan, circuits, outputs, dataset, connection)
    monkeypatch.setattr("compat.engine.pairing.PAIRINGS_WORTH_AN_ARM", 1)
    many = database_keys(plan, circuits, outputs, dataset, connection)
    assert len(plan.arms(connection)) > 1
    assert few == many
