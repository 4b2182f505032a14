"""Staged queries: names are checked, and what is not known stays so."""

from __future__ import annotations

import math

import duckdb
import pytest

from compat.physics.ranges import Range
from compat.physics.staged import VOLATILE, StagedQuery, guarded, identifier, larger, number, smaller

SQUARE = StagedQuery({"crest_v": Range(0.0, 10.0)}, [], {"square": "_crest_v * _crest_v"})


@pytest.mark.parametrize(
    "name", ['a"b', "a b", "1a", "_a", "", "a;DROP TABLE x", "a" * 64, "ä", "a\n", "select *"]
)
def test_other_names_than_plain_ones_are_refused(name: str) -> None:
    with pytest.raises(ValueError, match="allowed are letters"):
        identifier(name)
    with pytest.raises(ValueError, match="allowed are letters"):
        SQUARE.over(name)
    with pytest.raises(ValueError, match="allowed are letters"):
        SQUARE.over("rows", {"crest_v": name})
    with pytest.raises(ValueError, match="allowed are letters"):
        SQUARE.over("rows", outputs={"square": name})


def test_unknown_roles_are_refused() -> None:
    with pytest.raises(ValueError, match="'crest' is no input here; there are crest_v"):
        SQUARE.over("rows", {"crest": "a"})
    with pytest.raises(ValueError, match="'peak' is no output here"):
        SQUARE.over("rows", outputs={"peak": "a"})


def test_numbers_are_doubles() -> None:
    with duckdb.connect() as connection:
        for value in (0.5, -3.0, 1e-300, 2.094395102393195, 1e22):
            kind, back = connection.execute(f"SELECT typeof({number(value)}), {number(value)}").fetchall()[0]
            assert (kind, back) == ("DOUBLE", value)
    for value in (math.nan, math.inf):
        with pytest.raises(ValueError, match="a finite number is needed"):
            number(value)


def test_larger_and_smaller_keep_the_unknown() -> None:
    with duckdb.connect() as connection:
        for left, right, most, least in (("1e0", "2e0", 2.0, 1.0), ("NULL", "2e0", None, None)):
            row = connection.execute(f"SELECT {larger(left, right)}, {smaller(left, right)}").fetchone()
            assert row == (most, least)


@pytest.mark.parametrize("low_allowed", [True, False])
def test_a_guard_keeps_out_all_that_the_range_does_not_hold(low_allowed: bool) -> None:
    allowed = Range(0.5, 2.0, low_allowed)
    values = (0.5, 2.0, 1.0, math.nextafter(0.5, 0.0), math.nextafter(2.0, 3.0), -1.0, math.nan, math.inf)
    with duckdb.connect() as connection:
        for value in (*values, -math.inf, None):
            row = connection.execute(f"SELECT {guarded('x', allowed)} FROM (SELECT ?::DOUBLE AS x)", [value])
            kept = value if value is not None and allowed.holds(value) else None
            assert row.fetchall() == [(kept,)], value


def test_the_barrier_is_volatile_and_never_null() -> None:
    with duckdb.connect() as connection:
        kinds = connection.execute(
            "SELECT DISTINCT stability FROM duckdb_functions() WHERE function_name = ?", [VOLATILE]
        ).fetchall()
        known = connection.execute(f"SELECT count({VOLATILE}()) FROM range(5000)").fetchall()
    assert kinds == [("VOLATILE",)]
    assert known == [(5000,)]


def test_columns_pass_through_and_inner_ones_do_not() -> None:
    query = StagedQuery({"x": Range(0.0, 10.0)}, [{"_y": "_x + 1e0"}, {"_y": "_y * 2e0"}], {"y": "_y"})
    with duckdb.connect() as connection:
        connection.execute("CREATE TABLE t AS SELECT 'a' AS name, 3e0 AS x UNION ALL SELECT 'b', 11e0")
        cursor = connection.execute(query.over("t") + " ORDER BY name")
        assert [column[0] for column in cursor.description or ()] == ["name", "x", "y"]
        assert cursor.fetchall() == [("a", 3.0, 8.0), ("b", 11.0, None)]
