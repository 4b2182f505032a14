"""What stands in the tables of a release is what the dataset says: wide, long and as rules."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import duckdb
import pytest

from compat.dataset.read import Dataset
from compat.model.values import Interval, TokenSet
from compat.release.table import CSV_NOTE, Column, Table, csv_text
from compat.rulebook.rules import ParsedRule


@pytest.fixture(scope="module")
def base(release: Path) -> Iterator[duckdb.DuckDBPyConnection]:
    with duckdb.connect(release / "lighting-control-compatibility.duckdb", read_only=True) as connection:
        yield connection


def rows(base: duckdb.DuckDBPyConnection, query: str, *values: object) -> list[dict[str, Any]]:
    found = base.execute(query, values)
    names = [column[0] for column in found.description or []]
    return [dict(zip(names, row, strict=True)) for row in found.fetchall()]


def test_every_trait_of_every_entry_stands_in_the_wide_table(
    base: duckdb.DuckDBPyConnection, dataset: Dataset
) -> None:
    for table, entries in dataset.tables.items():
        found = {row["id"]: row for row in rows(base, f"SELECT * FROM {table}")}
        assert list(found) == sorted(entries)
        for key, entry in entries.items():
            for name, trait in entry.traits.items():
                row, content = found[key], trait.content
                if isinstance(content, Interval):
                    assert (row[f"{name}_low"], row[f"{name}_high"]) == (content.low, content.high)
                elif isinstance(content, TokenSet):
                    assert set(row[name]) == content.sure
                    assert set(row[f"{name}_possible"]) == content.possible
                elif content is not None:
                    assert row[name] == content
                if content is not None:
                    assert (row[f"{name}_basis"], row[f"{name}_source"]) == (trait.basis, trait.source)


def test_what_is_not_known_is_empty_everywhere(base: duckdb.DuckDBPyConnection, dataset: Dataset) -> None:
    assert "capacitive_share" not in dataset.tables["outputs"]["O0009"].traits
    [row] = rows(base, "SELECT * FROM outputs WHERE id = 'O0009'")
    cells = {name: cell for name, cell in row.items() if name.startswith("capacitive_share")}
    assert cells == dict.fromkeys(cells)
    assert len(cells) == 4
    assert rows(base, "SELECT * FROM traits WHERE entry = 'O0009' AND trait = 'capacitive_share'") == []


def test_a_figure_from_memory_is_told_and_decides_nothing(
    base: duckdb.DuckDBPyConnection, dataset: Dataset
) -> None:
    recalled = {
        (table, key, name)
        for table, entries in dataset.tables.items()
        for key, entry in entries.items()
        for name, trait in entry.traits.items()
        if trait.recalled is not None
    }
    assert recalled
    found = rows(base, "SELECT * FROM traits WHERE recalled")
    assert {(row["table"], row["entry"], row["trait"]) for row in found} == recalled
    for row in found:
        assert row["basis"] == "memory"
        [wide] = rows(base, f"SELECT * FROM {row['table']} WHERE id = ?", row["entry"])
        assert wide[f"{row['trait']}_low"] is None
        assert wide[f"{row['trait']}_basis"] == "memory"


def test_the_long_table_agrees_with_the_wide_ones(base: duckdb.DuckDBPyConnection, dataset: Dataset) -> None:
    found = rows(base, "SELECT * FROM traits WHERE \"table\" = 'drivers' AND NOT recalled")
    assert len(found) == sum(
        trait.content is not None
        for driver in dataset.tables["drivers"].values()
        for trait in driver.traits.values()
    )
    for row in found:
        content = dataset.tables["drivers"][row["entry"]].traits[row["trait"]].content
        if isinstance(content, Interval):
            assert (row["low"], row["high"]) == (content.low, content.high)
        elif isinstance(content, TokenSet):
            assert (set(row["words"]), set(row["words_possible"])) == (content.sure, content.possible)
        else:
            assert content == (row["yes_no"] if isinstance(content, bool) else row["word"])


def test_a_locator_of_a_trait_is_kept(base: duckdb.DuckDBPyConnection) -> None:
    [row] = rows(base, "SELECT locator, source FROM traits WHERE entry = 'D0001' AND trait = 'inrush_peak_a'")
    assert row == {"locator": "C 0.1 to 0.5 uF, R 10 to 47 ohm, 325 V", "source": "S0100"}


def test_rules_with_what_belongs_to_them(base: duckdb.DuckDBPyConnection, rules: list[ParsedRule]) -> None:
    found = {row["id"]: row for row in rows(base, "SELECT * FROM rules")}
    for rule in rules:
        row, data = found[rule.rule.id], rule.rule
        assert (row["slug"], row["family"], row["breach"]) == (data.slug, rule.family, data.breach)
        assert (row["demand"] or "", row["applies"]) == (data.demand, data.applies)
        assert (row["precedence"], row["remedies"]) == (data.precedence, data.remedies)
        cited = rows(base, "SELECT source FROM rule_sources WHERE rule = ? ORDER BY number", data.id)
        assert [entry["source"] for entry in cited] == [citation.source for citation in data.sources]


def test_the_given_values_of_a_case_are_json(base: duckdb.DuckDBPyConnection) -> None:
    [row] = rows(base, "SELECT given FROM cases WHERE rule = 'R0007' AND name = 'Exactly the minimum load'")
    assert json.loads(row["given"])["output.min_load_w"] == json.loads(row["given"])["circuit.input_power_w"]


def test_sources_that_are_cited_are_there(base: duckdb.DuckDBPyConnection) -> None:
    missing = "SELECT source FROM rule_sources WHERE source NOT IN (SELECT id FROM sources)"
    assert rows(base, missing) == []
    missing = "SELECT source FROM traits WHERE source IS NOT NULL AND source NOT IN (SELECT id FROM sources)"
    assert rows(base, missing) == []


def test_the_release_says_which_it_is(base: duckdb.DuckDBPyConnection, dataset: Dataset) -> None:
    [row] = rows(base, "SELECT * FROM release")
    assert (row["version"], row["sha256"]) == (dataset.version, dataset.sha256)


def test_every_column_says_what_it_is(base: duckdb.DuckDBPyConnection) -> None:
    silent = "SELECT table_name, column_name FROM duckdb_columns() WHERE NOT internal AND comment IS NULL"
    assert rows(base, silent) == []
    [row] = rows(
        base, "SELECT comment FROM duckdb_columns() WHERE column_name = 'min_load_w_low' AND NOT internal"
    )
    assert row["comment"].endswith(", in W: low end")


def test_it_holds_tables_and_one_macro(base: duckdb.DuckDBPyConnection) -> None:
    assert rows(base, "SELECT view_name FROM duckdb_views() WHERE NOT internal") == []
    [macro] = rows(base, "SELECT function_name, comment FROM duckdb_functions() WHERE NOT internal")
    assert macro["function_name"] == "verdict_of"
    assert macro["comment"].startswith("The verdict of so many of a driver on an output")


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r", "'"])
def test_a_text_that_a_spreadsheet_would_take_for_a_formula_is_marked(start: str) -> None:
    """And the mark is taken off as the note of the Data Package says, so that nothing is lost."""
    texts = (f"{start}1+1", start, f"1{start}", "plain", None)
    cells = tuple((f"X{number}", cell) for number, cell in enumerate(texts))
    made = Table("made", "Made", (Column("id", "text", "Id"), Column("cell", "text", "Cell")), cells, ("id",))
    written = list(csv.reader(io.StringIO(csv_text(made), newline="")))[1:]
    assert [row[1] for row in written] == [f"'{start}1+1", f"'{start}", f"1{start}", "plain", ""]
    assert tuple(row[1].removeprefix("'") or None for row in written) == texts
    shown = {"\t": "a tab", "\r": "a carriage return"}.get(start, f" {start} ")
    assert shown.strip() in CSV_NOTE


def test_numbers_and_lists_are_not_marked() -> None:
    columns = (
        Column("low", "number", "Low"),
        Column("words", "words", "Words"),
        Column("so", "yes_no", "So"),
    )
    assert csv_text(Table("made", "Made", columns, ((-1.5, ["=a"], True),), ("low",))) == (
        'low,words,so\n-1.5,"[""=a""]",true\n'
    )
