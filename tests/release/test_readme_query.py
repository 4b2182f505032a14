"""With only DuckDB one printed query gives the answer; with only Polars the tables can be read."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import duckdb
import pytest

from compat.dataset.read import Dataset
from compat.dataset.values import content_of
from compat.model.values import Content
from compat.rulebook.cases import evaluation
from compat.rulebook.rules import ParsedRule
from compat.rulebook.truth import verdict_of
from tests.conftest import ROOT

MARK = "<!-- query: what may drive a 20 W reverse-phase driver -->"
# The rules that the query stands for: minimum load, rated load, share for LED drivers, list of load
# types, and the two ends of the voltage range.
RULES = {"R0007", "R0008", "R0009", "R0031", "R0035", "R0040"}


def printed(language: str) -> str:
    """The first block of a language from the query on, in the README or the text that is to go there."""
    for name in ("README.md", "datasets/README-queries.md"):
        text = (ROOT / name).read_text(encoding="utf-8") if (ROOT / name).exists() else ""
        _, found, rest = text.partition(MARK)
        if found:
            block = re.search(rf"```{language}\n(.*?)```", rest, re.DOTALL)
            assert block is not None, f"{name} has no block of {language}"
            return block[1]
    raise AssertionError("the query is not printed anywhere")


def run_alone(program: str, folder: Path) -> str:
    """What a program prints that runs in a folder without this project on its path."""
    done = subprocess.run(
        [sys.executable, "-P", "-c", program], cwd=folder, capture_output=True, text=True, check=False, env={}
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def answer(release: Path) -> list[str]:
    program = (
        "import duckdb\n"
        "connection = duckdb.connect('lighting-control-compatibility.duckdb', read_only=True)\n"
        f"for row in connection.execute({printed('sql')!r}).fetchall(): print(row[0])\n"
    )
    return run_alone(program, release).split()


def expected(
    dataset: Dataset, rules: list[ParsedRule], watts: int = 20, load_type: str = "constant_current_driver"
) -> list[str]:
    """The reverse-phase outputs on which each of the rules works, by the plain form of the rules."""
    stated = {
        "circuit.input_power_w": watts,
        "circuit.capacitive_power_w": watts,
        "circuit.other_power_w": 0,
        "circuit.input_characters": ["capacitive"],
        "circuit.load_types": [load_type],
    }
    vocabulary = dataset.vocabulary
    driver = {name: content_of(value, vocabulary.traits[name], vocabulary) for name, value in stated.items()}
    supply = {f"supply.{name}": t.content for name, t in dataset.tables["supplies"]["U0001"].traits.items()}
    asked = [rule for rule in rules if rule.rule.id in RULES]
    assert {rule.rule.id for rule in asked} == RULES
    found = []
    for output in dataset.tables["outputs"].values():
        if output.traits["method"].content != "reverse_phase":
            continue
        values: dict[str, Content] = {f"output.{name}": t.content for name, t in output.traits.items()}
        run = evaluation({**driver, **supply, **values}, vocabulary)
        if {verdict_of(run.truth(rule.condition), rule.rule.breach) for rule in asked} == {"works"}:
            found.append(output.id)
    return sorted(found)


def test_the_query_says_what_the_rules_say(
    answer: list[str], dataset: Dataset, rules: list[ParsedRule]
) -> None:
    assert answer == expected(dataset, rules)


@pytest.mark.parametrize("watts", [4, 8, 12, 90, 130, 280])
@pytest.mark.parametrize("load_type", ["constant_current_driver", "magnetic_transformer"])
def test_so_it_does_for_other_loads(
    release: Path, dataset: Dataset, rules: list[ParsedRule], watts: int, load_type: str
) -> None:
    """Each condition of the query decides for some load."""
    query = re.sub(r"\b20\b", str(watts), printed("sql")).replace("constant_current_driver", load_type)
    with duckdb.connect(release / "lighting-control-compatibility.duckdb", read_only=True) as connection:
        found = [row[0] for row in connection.execute(query).fetchall()]
    assert found == expected(dataset, rules, watts, load_type)


def test_it_chooses(answer: list[str], dataset: Dataset) -> None:
    """It finds some and leaves out the one whose share for LED drivers is not known."""
    by_reverse_phase = {
        output.id
        for output in dataset.tables["outputs"].values()
        if output.traits["method"].content == "reverse_phase"
    }
    assert set(answer) < by_reverse_phase
    assert len(answer) >= 3
    assert "O0009" not in answer


def test_polars_alone_reads_the_tables(release: Path) -> None:
    told = run_alone(printed("python"), release)
    assert "O0006" in told
    assert "min_load_w_high" in told


def test_polars_reads_every_table_with_its_rows(release: Path) -> None:
    import polars as pl

    for path in sorted((release / "parquet").glob("*.parquet")):
        frame = pl.read_parquet(path)
        plain = pl.read_csv(release / "csv" / f"{path.stem}.csv", infer_schema=False)
        assert frame.columns == plain.columns
        assert frame.height == plain.height > 0
