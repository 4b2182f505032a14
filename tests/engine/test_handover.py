"""Rows and frames into the database and out of it, and the database locked against everything else."""

from __future__ import annotations

import math
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import duckdb
import polars as pl
import pytest

from compat.engine.handover import (
    columns_into_database,
    frame_from_database,
    frame_into_database,
    locked_connection,
)
from tests.conftest import ROOT


@pytest.fixture
def connection() -> Iterator[duckdb.DuckDBPyConnection]:
    opened = locked_connection()
    yield opened
    opened.close()


def test_columns_go_in_as_they_are(connection: duckdb.DuckDBPyConnection) -> None:
    figures = [0.1, None, 5e-324, 1.7e308, -0.0, 0.1 + 0.2]
    columns = {
        "place": ("INTEGER", range(6)),
        "figure": ("DOUBLE", figures),
        "flag": ("BOOLEAN", [True, False, None, True, False, None]),
        "bits": ("INTEGER", [1, 2, 4, 8, (1 << 30) - 1, None]),
    }
    columns_into_database(connection, "made", columns)
    rows = connection.execute("SELECT * FROM made ORDER BY place").fetchall()
    assert [list(column) for column in zip(*rows, strict=True)] == [
        list(values) for _, values in columns.values()
    ]
    types = connection.execute(
        "SELECT typeof(place), typeof(figure), typeof(flag), typeof(bits) FROM made LIMIT 1"
    )
    assert types.fetchall() == [("INTEGER", "DOUBLE", "BOOLEAN", "INTEGER")]
    assert math.copysign(1.0, rows[4][1]) == -1.0


def test_a_table_is_made_anew(connection: duckdb.DuckDBPyConnection) -> None:
    columns_into_database(connection, "made", {"a": ("INTEGER", [1, 2])})
    columns_into_database(connection, "made", {"b": ("DOUBLE", [])})
    assert connection.execute("SELECT * FROM made").fetchall() == []
    columns_into_database(connection, "made", {"a": ("INTEGER", [None, None])})
    assert connection.execute("SELECT * FROM made").fetchall() == [(None,), (None,)]


FRAME = pl.DataFrame(
    {
        "figure": [0.1, None, 1.7e308, float("nan")],
        "place": pl.Series([1, 2, None, 4], dtype=pl.Int32),
        "flag": [True, None, False, True],
        "text": ["a", "ä", None, "'; DROP TABLE made; --"],
    }
)


def test_a_frame_goes_in_and_comes_back(connection: duckdb.DuckDBPyConnection) -> None:
    frame_into_database(connection, "made", FRAME)
    back = frame_from_database(connection.table("made"))
    assert back.equals(FRAME)
    assert back.schema == FRAME.schema


def test_an_empty_frame_keeps_its_columns(connection: duckdb.DuckDBPyConnection) -> None:
    frame_into_database(connection, "made", FRAME.clear())
    back = frame_from_database(connection.table("made"))
    assert back.schema == FRAME.schema
    assert back.height == 0


def test_a_large_frame_comes_back_whole(connection: duckdb.DuckDBPyConnection) -> None:
    """More than one batch of the stream."""
    frame = pl.DataFrame({"place": pl.int_range(300_000, eager=True)}).with_columns(
        figure=pl.col("place") / 3
    )
    frame_into_database(connection, "made", frame)
    assert frame_from_database(connection.sql("FROM made ORDER BY place")).equals(frame)


def test_nothing_of_a_frame_stays_registered(connection: duckdb.DuckDBPyConnection) -> None:
    frame_into_database(connection, "made", FRAME)
    with pytest.raises(duckdb.CatalogException):
        connection.execute("FROM handed_over")
    with pytest.raises(duckdb.Error):
        frame_into_database(connection, "not a name", FRAME)
    with pytest.raises(duckdb.CatalogException):
        connection.execute("FROM handed_over")


@pytest.mark.parametrize(
    "statement",
    [
        "SELECT * FROM read_csv('/etc/hostname')",
        "SELECT * FROM read_text('/etc/hostname')",
        "COPY (SELECT 1) TO '{folder}/out.csv'",
        "ATTACH '{folder}/other.db'",
        "INSTALL httpfs",
        "LOAD httpfs",
        "SET enable_external_access = true",
        "SET threads = 1",
        "EXPORT DATABASE '{folder}'",
    ],
)
def test_the_database_reads_and_writes_nothing_else(
    statement: str, connection: duckdb.DuckDBPyConnection, tmp_path: Path
) -> None:
    with pytest.raises(duckdb.Error):
        connection.execute(statement.format(folder=tmp_path))
    assert list(tmp_path.iterdir()) == []


def test_the_number_of_threads_can_be_chosen() -> None:
    with locked_connection(threads=1) as opened:
        assert opened.execute("SELECT current_setting('threads')").fetchall() == [(1,)]


WITHOUT_PYARROW = """
import sys
sys.modules["pyarrow"] = None
from pathlib import Path
from compat.dataset.overlay import read_setting
from compat.dataset.read import load_dataset
from compat.engine.check import Check
from compat.engine.handover import frame_from_database, frame_into_database, locked_connection
from compat.intake.read import read_schedule
from compat.rulebook.rules import read_rules

root = Path(sys.argv[1])
dataset = load_dataset(root)
tables = dataset.tables
demo = root / "datasets/demo/house.csv"
schedule = read_schedule(demo, dataset.vocabulary, tables["drivers"], tables["outputs"])
rules = read_rules(dataset.rules_folder, dataset.vocabulary)
report = Check(dataset, rules, read_setting(dataset, None, None)).report(schedule)
assert "polars" not in sys.modules, "small work goes without polars"
import polars as pl
frame = pl.DataFrame({"a": [1, None], "b": ["x", None]})
connection = locked_connection()
frame_into_database(connection, "made", frame)
assert frame_from_database(connection.table("made")).equals(frame)
sys.stdout.write(str(len(report.circuits)))
"""


def test_the_engine_and_the_handover_run_without_pyarrow() -> None:
    """In a process in which pyarrow cannot be imported: nothing of ours may need it."""
    command = [sys.executable, "-c", WITHOUT_PYARROW, str(ROOT)]
    run = subprocess.run(command, capture_output=True, text=True, cwd=ROOT, check=False)
    assert run.stderr == ""
    assert run.returncode == 0
    assert int(run.stdout) > 50
