"""Circuits and lines for the tests of the control side: drivers of the dataset or made ones on an output."""

from __future__ import annotations

from dataclasses import replace

from compat.dataset.overlay import read_setting
from compat.dataset.read import Dataset
from compat.engine.check import Check
from compat.engine.lines import judge_line
from compat.model.report import CircuitReport, Report
from compat.model.schedule import Schedule, ScheduleRow
from compat.model.values import Content, TokenSet, Trait
from compat.rulebook.rules import ParsedRule
from tests.engine.made import exact
from tests.engine.made_lines import site_of
from tests.engine.test_lines import line_of

STATED: dict[str, Content] = {
    "wanted_control": "dimmed",
    "wanted_dim_floor_percent": exact(10),
    "wanted_off_by_control": True,
    "wanted_colour_control": False,
    "wanted_individual_control": False,
    "neutral_at_control": True,
    "control_pair_selv": False,
}


def checked(
    dataset: Dataset, rules: list[ParsedRule], driver: str, output: str, count: int = 4, **stated: Content
) -> CircuitReport:
    """One circuit of some drivers of the dataset on an output."""
    wishes = {name: Trait(content) for name, content in {**STATED, **stated}.items()}
    of_circuit = ScheduleRow(
        1, "A", count, luminaire_type="T", driver_id=driver, output_id=output, circuit_traits=wishes
    )
    return report_of(dataset, rules, of_circuit).circuits[0]


def report_of(dataset: Dataset, rules: list[ParsedRule], *rows: ScheduleRow) -> Report:
    return Check(dataset, rules, read_setting(dataset, None, None)).report(Schedule("a.csv", "", rows))


def verdicts(report: CircuitReport) -> dict[str, str]:
    return {finding.slug: finding.verdict for finding in report.findings}


def of_line(
    dataset: Dataset, rules: list[ParsedRule], *rows: ScheduleRow, **stated: Content
) -> dict[str, str]:
    judged = judge_line(line_of(dataset, *rows, **stated), rules, site_of(dataset), dataset)
    return {entry.finding.slug: entry.finding.verdict for entry in judged}


DALI: dict[str, Content] = {
    "methods": TokenSet.exactly("dali", "switched"),
    "dali_addresses": exact(1),
    "dali_device_type": "type_6",
}
ANALOG: dict[str, Content] = {
    "methods": TokenSet.exactly("analog_0_10v", "switched"),
    "control_current_ma": exact(1),
    "control_current_direction": "sources",
    "control_full_output_v": exact(10),
    "control_insulation": "selv",
    "dim_floor_percent": exact(1),
}


def on(output: str, made: ScheduleRow) -> ScheduleRow:

    return replace(made, output_id=output)
