"""With DuckDB alone a release gives the verdict, and the rule that decides it, of a look-up at a count."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import duckdb
import pytest

from compat.dataset.overlay import read_setting
from compat.dataset.read import Dataset
from compat.engine.lookup import Looker
from compat.release.verdict_tables import COUNTS, WANTED
from compat.rulebook.rules import ParsedRule
from tests.conftest import ROOT
from tests.release.test_readme_query import run_alone

DATABASE = "lighting-control-compatibility.duckdb"
VERDICT = "SELECT output, verdict, rule FROM verdict_of(?, ?, NULL, ?)"
SAMPLE = ("D0001", "D0002", "D0010", "D0014", "D0022", "D0033", "D0040", "D0055", "D0064", "D0065")


@pytest.fixture(scope="module")
def base(release: Path) -> Iterator[duckdb.DuckDBPyConnection]:
    with duckdb.connect(release / DATABASE, read_only=True) as connection:
        yield connection


@pytest.mark.parametrize("driver", SAMPLE)
def test_the_macro_says_what_a_look_up_says(
    driver: str, base: duckdb.DuckDBPyConnection, dataset: Dataset, rules: list[ParsedRule]
) -> None:
    """On every output, at every count, wanted as the look-up takes it."""
    looker = Looker(dataset, rules, read_setting(dataset, None, None))
    wanted = {
        key: "switched" if output.traits["method"].content == "switched" else "dimmed"
        for key, output in dataset.tables["outputs"].items()
    }
    compared = 0
    for count in COUNTS:
        answer = looker.look(dataset.tables["drivers"][driver], count, count)
        told = {entry.output: entry.at_count for entry in answer.outputs}
        found = {
            (output, want): (verdict, rule)
            for want in WANTED
            for output, verdict, rule in base.execute(VERDICT, [driver, count, want]).fetchall()
        }
        assert {output for output, _ in found} == set(dataset.tables["outputs"])
        for output, at_count in told.items():
            assert at_count is not None
            assert found[output, wanted[output]] == (at_count.verdict, at_count.rule), (output, count)
            compared += 1
    assert compared >= len(COUNTS) * len(dataset.tables["outputs"])


def test_verdicts_of_the_sample_differ(base: duckdb.DuckDBPyConnection) -> None:
    """Else the comparison above would show little."""
    found = set()
    for driver in SAMPLE:
        rows = base.execute(VERDICT, [driver, 5, "dimmed"]).fetchall()
        found |= {verdict for _, verdict, _ in rows}
    assert found >= {"works", "unproven", "fails"}


@pytest.mark.parametrize("asked", [("D9999", 5, "dimmed"), ("D0001", 4, "dimmed"), ("D0001", 5, "blinking")])
def test_what_is_not_in_the_tables_is_never_a_pass(
    asked: tuple[str, int, str], base: duckdb.DuckDBPyConnection
) -> None:
    assert base.execute(VERDICT, list(asked)).fetchall() == []


def test_an_output_that_is_not_there_has_no_verdict(base: duckdb.DuckDBPyConnection) -> None:
    assert base.execute("SELECT * FROM verdict_of('D0001', 5, 'O9999', 'dimmed')").fetchall() == []
    [one] = base.execute("SELECT * FROM verdict_of('D0001', 5, 'O0002', 'dimmed')").fetchall()
    assert one[0] == "O0002"


def test_every_circuit_asks_something_of_an_output(base: duckdb.DuckDBPyConnection, dataset: Dataset) -> None:
    """The macro knows by its demands that a circuit is in the tables."""
    found = base.execute(
        "SELECT count(*) FROM (SELECT DISTINCT driver, count, wanted FROM demands)"
    ).fetchone()
    assert found == (len(dataset.tables["drivers"]) * len(COUNTS) * len(WANTED),)


def test_the_query_of_the_readme_runs_with_duckdb_alone(release: Path) -> None:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    block = re.search(r"```sql\n(SELECT[^`]*verdict_of[^`]*)```", text)
    assert block is not None
    program = (
        "import duckdb\n"
        f"connection = duckdb.connect({DATABASE!r}, read_only=True)\n"
        f"for row in connection.execute({block[1]!r}).fetchall(): print(*row)\n"
    )
    lines = run_alone(program, release).splitlines()
    assert len(lines) >= 5
    assert all(line.split()[0].startswith("O") for line in lines)
