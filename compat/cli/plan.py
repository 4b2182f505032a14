"""``compat plan``: tables that go to site, made from a schedule with its control lines."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from compat.api import Inputs, open_schedule
from compat.cli.common import EXIT_FINDINGS, EXIT_FINE, give, in_colour, screen_width, spare_inputs
from compat.cli.file_options import (
    DatasetOption,
    DriversOption,
    OutputOption,
    OutputsOption,
    ProjectOption,
    SheetOption,
)

if TYPE_CHECKING:
    from compat.model.plan import DaliAddresses, DmxPatch
    from compat.report.plan_table import PlanTable

app = typer.Typer(help="Tables that go to site: DMX patch, DALI addresses.", no_args_is_help=True)


class PlanFormat(StrEnum):
    """How the plan is written."""

    text = "text"
    json = "json"
    csv = "csv"
    html = "html"


ScheduleArgument = Annotated[Path, typer.Argument(help="Circuit schedule: XLSX, CSV, JSON or Parquet.")]
FormatOption = Annotated[PlanFormat, typer.Option("--format", help="How to write the plan.")]


@app.command("dmx")
def dmx(
    schedule: ScheduleArgument,
    drivers: DriversOption = None,
    outputs: OutputsOption = None,
    project: ProjectOption = None,
    dataset: DatasetOption = None,
    sheet: SheetOption = None,
    format: FormatOption = PlanFormat.text,
    output: OutputOption = None,
) -> None:
    """Give every DMX luminaire a start address on its line. Exit code 1 when one, or all, have no place."""
    from compat.plan.dmx_patch import dmx_patch
    from compat.report.plan_table import dmx_table

    spare_inputs(output, schedule, drivers, outputs, project, dataset=dataset)
    check, read = open_schedule(schedule, Inputs(dataset, drivers, outputs, project), sheet)
    circuits = check.circuits(read)
    plan = dmx_patch(read, circuits, check.lines(circuits), check.dataset)
    _write(plan, dmx_table(plan), format, output)


@app.command("dali")
def dali(
    schedule: ScheduleArgument,
    drivers: DriversOption = None,
    outputs: OutputsOption = None,
    project: ProjectOption = None,
    dataset: DatasetOption = None,
    sheet: SheetOption = None,
    format: FormatOption = PlanFormat.text,
    output: OutputOption = None,
) -> None:
    """Give every DALI gear a short address and a group. Exit code 1 when one, or all, have no place."""
    from compat.engine.site import site_of
    from compat.plan.dali_addresses import dali_addresses
    from compat.report.plan_table import dali_table

    spare_inputs(output, schedule, drivers, outputs, project, dataset=dataset)
    check, read = open_schedule(schedule, Inputs(dataset, drivers, outputs, project), sheet)
    circuits = check.circuits(read)
    lines, site = check.lines(circuits), site_of(check.setting)
    plan = dali_addresses(read, circuits, lines, check.dataset, check.rules, site)
    _write(plan, dali_table(plan), format, output)


def _write(plan: DmxPatch | DaliAddresses, table: PlanTable, format: PlanFormat, output: Path | None) -> None:
    from compat.report.plan_formats import render_plan_csv, render_plan_html, render_plan_text

    if format is PlanFormat.json:
        text = plan.model_dump_json(indent=2) + "\n"
    elif format is PlanFormat.csv:
        text = render_plan_csv(table)
    elif format is PlanFormat.html:
        text = render_plan_html(table)
    else:
        on_screen = output is None
        text = render_plan_text(table, screen_width() if on_screen else 100, in_colour() and on_screen)
    give(text, output)
    raise typer.Exit(EXIT_FINE if plan.places and not plan.not_planned else EXIT_FINDINGS)
