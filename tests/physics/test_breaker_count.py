"""How many drivers a breaker holds: the simulated table, and the query against the plain form."""

from __future__ import annotations

import duckdb
import numpy as np
import pytest

from compat.model.values import Interval
from compat.physics.breaker_count import most_drivers_query, most_drivers_that_hold
from compat.physics.breaker_release import Breaker
from compat.physics.inrush import DriverInput
from compat.physics.inrush_circuit import Candidates, SourceRange

CREST = Interval(325.27, 325.27)
SOURCE = SourceRange(Interval(0.8, 0.8), Interval(1e-4, 1e-4))
MULTIPLES = {"B": (3.0, 5.0), "C": (5.0, 10.0), "D": (10.0, 20.0)}
A, B, D = DriverInput(1.0, 22e-6), DriverInput(10.0, 47e-6), DriverInput(3.0, 33e-6)


def most(driver: DriverInput, curve: str, at_most: int = 400, *, strict: bool = False) -> int:
    breaker = Breaker(16.0, *MULTIPLES[curve], 0.5e-3, 5e-3)
    return most_drivers_that_hold(CREST, SOURCE, Candidates((driver,)), breaker, at_most, strict=strict)


@pytest.mark.parametrize(
    ("driver", "curve", "strict", "holds"),
    [
        (A, "B", 0, 3),
        (A, "C", 1, 7),
        (A, "D", 9, 33),
        (B, "B", 2, 4),
        (B, "C", 5, 9),
        (B, "D", 21, 29),
        (D, "B", 1, 3),
        (D, "C", 2, 6),
        (D, "D", 11, 26),
    ],
)
def test_table_of_counts(driver: DriverInput, curve: str, strict: int, holds: int) -> None:
    assert most(driver, curve, strict=True) == strict
    assert most(driver, curve) == holds


def test_the_search_is_capped_and_starts_at_zero() -> None:
    assert most(A, "D", at_most=5) == 5
    assert most(DriverInput(0.01, 1e-3), "B") == 0
    with pytest.raises(ValueError, match="at_most is 0"):
        most(A, "B", at_most=0)


@pytest.mark.parametrize("strict", [False, True])
def test_the_query_equals_the_plain_form(strict: bool) -> None:
    generator = np.random.default_rng(61)
    rows, expected = [], {}
    for number in range(60):
        drivers = tuple(
            DriverInput(float(10 ** generator.uniform(-1, 1)), float(10 ** generator.uniform(-6, -4)))
            for _ in range(int(generator.integers(1, 4)))
        )
        curve = MULTIPLES[str(generator.choice(list(MULTIPLES)))]
        breaker = Breaker(float(generator.choice([6.0, 16.0, 32.0])), *curve, 0.5e-3, 5e-3)
        expected[f"d{number}"] = most_drivers_that_hold(
            CREST, SOURCE, Candidates(drivers), breaker, 100, strict=strict
        )
        rows += [
            (f"d{number}", one.resistance_ohm, one.capacitance_f, breaker.rated_current_a, *curve)
            for one in drivers
        ]
    rows.append(("unknown", 1.0, 1e-5, 16.0, 3.0, 5.0))
    rows.append(("unknown", None, 1e-5, 16.0, 3.0, 5.0))  # type: ignore[arg-type]
    with duckdb.connect() as connection:
        connection.execute(
            "CREATE TABLE rows (key VARCHAR, driver_resistance_ohm DOUBLE, driver_capacitance_f DOUBLE, "
            "rated_current_a DOUBLE, hold_multiple DOUBLE, trip_multiple DOUBLE)"
        )
        connection.executemany("INSERT INTO rows VALUES (?, ?, ?, ?, ?, ?)", rows)
        connection.execute(
            "CREATE TABLE asked AS SELECT *, 325.27e0 AS crest_high_v, 0.8e0 AS source_resistance_low_ohm, "
            "1e-4 AS source_inductance_low_h, 0.5e-3 AS shortest_plunger_time_s, "
            "5e-3 AS longest_plunger_time_s, 50e0 AS frequency_hz FROM rows"
        )
        found = dict(connection.execute(most_drivers_query("asked", ["key"], 100, strict=strict)).fetchall())
    assert found.pop("unknown") is None
    assert found == expected
