"""The control side of invented schedules against what was written of them by hand, before any run."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from compat.dataset.overlay import read_setting
from compat.dataset.read import Dataset
from compat.engine.check import Check
from compat.intake.read import read_schedule
from compat.model.report import CircuitReport, Finding, Report
from compat.model.verdicts import worst
from compat.rulebook.rules import ParsedRule
from tests.conftest import ROOT

HERE = Path(__file__).parent
DEMO = ROOT / "datasets" / "demo"
FAMILIES = ("analog", "dali", "dmx", "dimming", "method")
# The schedule, with the project file beside it, and what was written of it.
WRITTEN = {
    DEMO / "office.csv": "office.toml",
    DEMO / "control-lines.csv": "control_lines.toml",
    HERE / "further_lines.csv": "further_lines_judged.toml",
}


@dataclass(frozen=True)
class Judged:
    """One judgement: of a circuit or a line of a schedule."""

    schedule: str
    subject: str
    entry: dict[str, Any]

    def __str__(self) -> str:
        return f"{self.schedule}-{self.entry['id']}"


def written() -> list[Judged]:
    return [
        Judged(schedule.stem, subject, entry)
        for schedule, name in WRITTEN.items()
        for subject, entries in tomllib.loads((HERE / name).read_text(encoding="utf-8")).items()
        for entry in entries
    ]


@pytest.fixture(scope="module")
def reports(dataset: Dataset, rules: list[ParsedRule]) -> dict[str, Report]:
    tables = dataset.tables
    found = {}
    for path in WRITTEN:
        setting = read_setting(dataset, path.with_suffix(".toml"), None)
        rows = read_schedule(path, dataset.vocabulary, tables["drivers"], tables["outputs"], None)
        found[path.stem] = Check(dataset, rules, setting).report(rows)
    return found


@pytest.fixture(scope="module")
def control_rules(rules: list[ParsedRule]) -> set[str]:
    return {rule.rule.id for rule in rules if rule.family in FAMILIES}


def control_side(circuit: CircuitReport, control_rules: set[str]) -> list[Finding]:
    return [finding for finding in circuit.findings if finding.rule in control_rules]


@pytest.mark.parametrize("judged", written(), ids=str)
def test_the_program_says_what_was_written(
    judged: Judged, reports: dict[str, Report], control_rules: set[str]
) -> None:
    report, entry = reports[judged.schedule], judged.entry
    if judged.subject == "line":
        findings = next(line for line in report.lines if line.line == entry["id"]).findings
    else:
        circuit = next(one for one in report.circuits if one.circuit == entry["id"])
        findings = control_side(circuit, control_rules)
    against = [finding for finding in findings if finding.verdict != "works"]
    told = [(finding.slug, finding.verdict, finding.because) for finding in against]
    assert worst(finding.verdict for finding in findings) == entry["verdict"], told
    if "rule" in entry:
        assert (entry["rule"], entry["verdict"]) in [(f.slug, f.verdict) for f in against], told
    if entry.get("alone"):
        assert len(against) == 1, told


def test_every_circuit_and_every_line_was_judged(reports: dict[str, Report]) -> None:
    of_office = {judged.entry["id"] for judged in written() if judged.schedule == "office"}
    office = reports["office"]
    assert of_office == {one.circuit for one in office.circuits} | {line.line for line in office.lines}
    for schedule in ("control-lines", "further_lines"):
        of_lines = {judged.entry["id"] for judged in written() if judged.schedule == schedule}
        assert of_lines == {line.line for line in reports[schedule].lines}
    assert all(judged.entry["reason"] for judged in written())
