"""Run a staged query over NumPy columns and compare columns."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import duckdb
import numpy as np
from numpy.typing import NDArray

from compat.physics.staged import StagedQuery

ROWS = 100_000


def computed(query: StagedQuery, rows: Mapping[str, Any], **over: Mapping[str, str]) -> dict[str, Any]:
    """The outputs of a query over equally long columns, as masked arrays in the order of the rows."""
    return fetched(query.over("rows", **over), rows)


def fetched(text: str, rows: Mapping[str, Any]) -> dict[str, Any]:
    """What a SELECT over the relation ``rows`` gives."""
    with duckdb.connect() as connection:
        connection.execute("SET threads = 2")
        connection.register("rows", dict(rows))
        found: dict[str, Any] = connection.execute(text).fetchnumpy()
    return found


def one_row(query: StagedQuery, **values: object) -> dict[str, Any]:
    """The outputs for one row of Python values, None for a value that is not known."""
    names = ", ".join(f"?::{'VARCHAR' if name in query.words else 'DOUBLE'} AS {name}" for name in values)
    with duckdb.connect() as connection:
        connection.execute(f"CREATE TABLE one AS SELECT {names}", list(values.values()))
        cursor = connection.execute(query.over("one"))
        row = cursor.fetchone()
        assert row is not None
        found = dict(zip((column[0] for column in cursor.description or ()), row, strict=True))
    return {role: found[role] for role in query.outputs}


def assert_same(actual: Any, expected: NDArray[np.float64], relative: float = 1e-9) -> None:
    """Every row is known and within a relative distance of the expected one."""
    assert not np.ma.is_masked(actual), "some rows are NULL"
    found = np.ma.getdata(actual)
    assert np.isfinite(found).all(), "some rows are not finite"
    error = np.abs(found - expected) / np.maximum(np.abs(expected), 1e-300)
    error[found == expected] = 0.0
    worst = int(np.argmax(error))
    assert error[worst] <= relative, f"row {worst}: {found[worst]!r}, expected {expected[worst]!r}"


def spread(generator: np.random.Generator, low: float, high: float, count: int = ROWS) -> NDArray[np.float64]:
    """Values spread evenly over the decades from ``low`` to ``high``, both ends among them."""
    values = 10.0 ** generator.uniform(np.log10(low), np.log10(high), count)
    values[:: count // 7] = low
    values[1 :: count // 7] = high
    return np.asarray(values)


def assert_unknown_stays_unknown(query: StagedQuery, good: Mapping[str, float]) -> None:
    """A NULL, NaN, infinite or negative input never gives a value in an output that needs it.

    An output that is known for the good row must be NULL (or ``cannot_tell``) for some bad input,
    and each bad input must take some output away.
    """
    full = one_row(query, **good)
    for name in query.inputs:
        for bad in (None, float("nan"), float("inf"), float("-inf"), -1e300):
            found = one_row(query, **{**good, name: bad})
            lost = [role for role in full if full[role] is not None and found[role] != full[role]]
            assert lost, f"{name} = {bad!r} changes nothing"
            assert all(found[role] in (None, "cannot_tell") for role in lost), (name, bad, found)
