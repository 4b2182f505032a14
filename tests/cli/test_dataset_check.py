"""``compat dataset check``: forms, exit codes, overlays, and what the workflow and the hooks run."""

from __future__ import annotations

import json
import re
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from compat.checks.run import checks_of_tables
from tests.cli.parts import called, environment
from tests.conftest import ROOT
from tests.dataset.parts import replaced

OVERLAY = ROOT / "datasets" / "demo" / "overlay"
RUN = re.compile(r"^\s*(?:run|entry): (compat .*)$", re.MULTILINE)
ARGUMENTS = re.compile(r"^\s*args: \[(.*)\]$", re.MULTILINE)


@pytest.fixture
def overlay(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A repository of somebody's own equipment, in which the commands are given."""
    shutil.copytree(OVERLAY, tmp_path, dirs_exist_ok=True)
    monkeypatch.chdir(tmp_path)
    return tmp_path


def spoil(overlay: Path) -> None:
    replaced(overlay / "drivers.toml", "input_voltage_min_v = 220", "input_voltage_min_v = 320")


def workflow_commands() -> list[list[str]]:
    text = (OVERLAY / "workflow.yml").read_text(encoding="utf-8")
    return [shlex.split(command)[1:] for command in RUN.findall(text)]


def hook_commands() -> list[list[str]]:
    """Entry and arguments of each hook, as the hook runner joins them."""
    text = (ROOT / ".pre-commit-hooks.yaml").read_text(encoding="utf-8")
    entries, arguments = RUN.findall(text), ARGUMENTS.findall(text)
    return [
        [*shlex.split(entry)[1:], *args.split(", ")] for entry, args in zip(entries, arguments, strict=True)
    ]


def test_the_workflow_passes_and_writes_its_reports(overlay: Path) -> None:
    commands = workflow_commands()
    assert len(commands) == 3
    assert [called(*command).code for command in commands] == [0, 0, 0]
    assert "<testcase" in (overlay / "checks.xml").read_text(encoding="utf-8")
    assert json.loads((overlay / "checks.sarif").read_text(encoding="utf-8"))["version"] == "2.1.0"


def test_the_workflow_fails_on_a_fault_and_shows_it_beside_the_line(overlay: Path) -> None:
    spoil(overlay)
    first, *others = [called(*command) for command in workflow_commands()]
    assert [first.code, *(found.code for found in others)] == [2, 2, 2]
    assert first.out.startswith("::error file=drivers.toml,line=19,title=intervals::drivers.toml, line 19:")
    assert "<failure" in (overlay / "checks.xml").read_text(encoding="utf-8")
    (result,) = json.loads((overlay / "checks.sarif").read_text(encoding="utf-8"))["runs"][0]["results"]
    assert result["ruleId"] == "intervals"


def test_the_hook_for_an_overlay(overlay: Path) -> None:
    (command, _) = hook_commands()
    assert called(*command).code == 0
    spoil(overlay)
    found = called(*command)
    assert found.code == 2
    assert found.out.startswith("intervals: drivers.toml, line 19: own-strip-driver-60w: input_voltage_min_v")
    assert found.err == "1 fault\n"


def test_the_hook_for_the_dataset_itself(monkeypatch: pytest.MonkeyPatch) -> None:
    (_, command) = hook_commands()
    monkeypatch.chdir(ROOT)
    found = called(*command)
    assert (found.code, found.err) == (0, "")


def test_the_configuration_in_the_example_names_a_hook_that_there_is() -> None:
    hooks = (ROOT / ".pre-commit-hooks.yaml").read_text(encoding="utf-8")
    config = (OVERLAY / "pre-commit-config.yaml").read_text(encoding="utf-8")
    named = re.findall(r"- id: (\S+)", config)
    assert named
    assert set(named) <= set(re.findall(r"- id: (\S+)", hooks))
    assert ARGUMENTS.findall(config)[0] == ARGUMENTS.findall(hooks)[0]


def test_an_overlay_is_checked_by_the_checks_of_tables(overlay: Path) -> None:
    found = json.loads(called("dataset", "check", "--drivers", "drivers.toml", "--format", "json").out)
    names = [check.name for check in checks_of_tables()]
    assert [note["name"] for note in found["checked"]] == ["readable", *names]
    assert {"entry-citations", "intervals", "review-dates"} <= set(names)


OVERLAY_FAULTS = [
    ('load_type = "constant_voltage_driver"', 'load_type = "lamp"', "readable: drivers.toml, line 14"),
    ("power_factor = [0.92, 0.97]", "power_factor = [0.97, 0.92]", "readable: drivers.toml, line 18"),
    ('basis = "declared"', 'basis = "standard"', "entry-citations: drivers.toml, line "),
    ('basis = "declared"', 'basis = "declared"\nsource = "S9999"', "entry-citations: drivers.toml, line 10"),
    ('checked_on = "2026-11-25"', 'checked_on = "2019-11-25"', "review-dates: drivers.toml, line 11"),
    (
        'methods = ["reverse_phase", "switched"]',
        'methods = ["dali", "dali"]',
        "readable: drivers.toml, line 16",
    ),
]


@pytest.mark.parametrize(("old", "new", "start"), OVERLAY_FAULTS)
def test_a_fault_of_an_overlay_is_told(old: str, new: str, start: str, overlay: Path) -> None:
    replaced(overlay / "drivers.toml", old, new)
    found = called("dataset", "check", "--drivers", "drivers.toml", "--outputs", "outputs.toml")
    assert found.code == 2
    assert found.out.startswith(start), found.out


def test_an_answer_never_takes_the_place_of_what_is_checked(overlay: Path) -> None:
    before = (overlay / "drivers.toml").read_bytes()
    found = called("dataset", "check", "--drivers", "drivers.toml", "--output", "drivers.toml")
    assert found.code == 2
    assert (overlay / "drivers.toml").read_bytes() == before


def test_equal_input_gives_equal_bytes(overlay: Path) -> None:
    spoil(overlay)
    for form in ("text", "json", "sarif", "junit", "annotations"):
        command = ("dataset", "check", "--drivers", "drivers.toml", "--format", form)
        assert called(*command).out == called(*command).out != ""


@pytest.mark.parametrize("level", ["1", "2"])
def test_python_without_docstrings_finds_no_fault_in_the_schemas(level: str) -> None:
    """Descriptions of the schemas are docstrings, and without them nothing else may differ."""
    command = [sys.executable, "-c", "from compat.cli.app import main; main()", "dataset"]
    surroundings = {**environment(), "PYTHONOPTIMIZE": level}
    checked = subprocess.run(
        [*command, "check"], capture_output=True, text=True, env=surroundings, check=False
    )
    assert (checked.returncode, checked.stderr) == (0, ""), checked.stdout
    assert checked.stdout.startswith("all well")
    if level == "2":
        copy = [*command, "schemas"]
        refused = subprocess.run(copy, capture_output=True, text=True, env=surroundings, check=False)
        assert refused.returncode == 2
        assert refused.stderr.startswith("schemas: Python runs without docstrings")
