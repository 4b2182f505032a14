"""What a command loads: help nothing heavy, and a small check neither polars nor pyarrow."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import openpyxl  # type: ignore[import-untyped]
import pytest
from typer.testing import CliRunner

from compat.cli.program import COMMANDS, named_command, program
from tests.cli.parts import House, environment

LOADED = """
import json, sys
from compat.cli.app import run
sys.argv = ["compat", *sys.argv[1:]]
try:
    run()
except SystemExit:
    pass
sys.stderr.write(json.dumps(sorted({name.split(".")[0] for name in sys.modules})))
"""
HEAVY = {"duckdb", "polars", "pyarrow", "pandas", "numpy", "scipy", "jinja2", "jsonschema", "xlrd"}
HEAVY |= {"xlsxwriter", "openpyxl", "pytest"}


def loaded(*arguments: str | Path) -> set[str]:
    """The libraries that a command has loaded by its end."""
    command = [sys.executable, "-c", LOADED, *map(str, arguments)]
    run = subprocess.run(command, capture_output=True, text=True, env=environment(), check=False)
    found: list[str] = json.loads(run.stderr.splitlines()[-1])
    return set(found)


@pytest.mark.parametrize("arguments", [["--help"], ["--version"], ["check", "--help"], ["dataset", "--help"]])
def test_help_loads_nothing_heavy(arguments: list[str]) -> None:
    assert loaded(*arguments) & HEAVY == set()


def test_a_rule_is_explained_without_database_and_frames() -> None:
    assert loaded("explain", "R0007") & HEAVY == set()


def test_a_small_workbook_is_checked_without_polars_and_pyarrow(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    for row in (["Circuit", "Quantity", "Driver"], ["A1", 2, "D0001"], ["A2", 4, "D0010"]):
        sheet.append(row)
    path = tmp_path / "house.xlsx"
    book.save(path)
    found = loaded("check", path)
    assert (
        found & {"polars", "pyarrow", "pandas", "numpy", "scipy", "openpyxl", "xlsxwriter", "jinja2"} == set()
    )
    assert "pyexpat" in found
    assert "duckdb" not in found, "so few pairings are joined before the database has loaded"


def test_a_text_schedule_needs_no_reader_of_workbooks(house: House) -> None:
    found = loaded("check", house.schedule("works"), *house.options())
    assert found & {"polars", "pyarrow", "pyexpat", "jinja2"} == set()


def test_without_pyarrow_every_format_is_written(house: House) -> None:
    script = LOADED.replace("import json, sys", "import json, sys\nsys.modules['pyarrow'] = None", 1)
    for form in ("json", "html"):
        given = ["check", str(house.schedule("hazard")), *house.options(), "--format", form]
        command = [sys.executable, "-c", script, *given]
        run = subprocess.run(command, capture_output=True, text=True, env=environment(), check=False)
        assert "Traceback" not in run.stderr
        assert "H1" in run.stdout


@pytest.mark.parametrize(
    ("arguments", "named"),
    [
        (["lookup", "check"], ["lookup"]),
        (["--version", "check"], ["check"]),
        (["dataset", "check"], ["dataset"]),
        (["chekc"], []),
        (["--help"], []),
        ([], []),
    ],
)
def test_the_command_named_is_the_first_word(arguments: list[str], named: list[str]) -> None:
    assert named_command(arguments) == named


@pytest.mark.parametrize("name", COMMANDS)
def test_help_is_the_same_with_one_command_loaded_as_with_all(name: str) -> None:
    alone, whole = (CliRunner().invoke(made, [name, "--help"]) for made in (program(name), program()))
    assert alone.exit_code == whole.exit_code == 0
    assert "Usage" in alone.stdout
    assert alone.stdout == whole.stdout


def test_without_a_command_all_are_shown() -> None:
    shown = CliRunner().invoke(program(), ["--help"]).stdout
    assert all(name in shown for name in COMMANDS)


def test_a_look_up_needs_no_database_and_no_styled_text() -> None:
    found = loaded("lookup", "D0013")
    assert "tomli" in found
    assert found.isdisjoint(HEAVY | {"pydantic", "typer"})
    console = "import sys; from compat.cli.app import run\nsys.argv = ['compat', 'lookup', 'D0013']\n"
    console += "try:\n    run()\nexcept SystemExit:\n    assert 'rich.console' not in sys.modules\n"
    done = subprocess.run([sys.executable, "-c", console], capture_output=True, check=False)
    assert (done.returncode, done.stderr) == (0, b"")
    assert done.stdout.startswith(b"D0013")
