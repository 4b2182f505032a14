"""The database is locked against everything else, and the engine does without it."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import duckdb
import pytest

from compat.engine.database import locked_connection
from tests.conftest import ROOT


@pytest.fixture
def connection() -> Iterator[duckdb.DuckDBPyConnection]:
    with locked_connection() as opened:
        yield opened


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


WITHOUT_DATABASE = """
import sys
sys.modules["pyarrow"] = None
sys.modules["duckdb"] = None
from pathlib import Path
from compat.dataset.overlay import read_setting
from compat.dataset.read import load_dataset
from compat.engine.check import Check
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
sys.stdout.write(str(len(report.circuits)))
"""


def test_a_house_is_judged_where_there_is_no_database() -> None:
    """In a process in which neither the database nor pyarrow can be imported."""
    command = [sys.executable, "-c", WITHOUT_DATABASE, str(ROOT)]
    run = subprocess.run(command, capture_output=True, text=True, cwd=ROOT, check=False)
    assert run.stderr == ""
    assert run.returncode == 0
    assert int(run.stdout) > 50
