"""``compat plan``: tables that go to site, made from a schedule with its control lines."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from compat import api
from compat.cli.common import EXIT_FINDINGS, EXIT_FINE, give, in_colour, screen_width, spare_inputs
from compat.cli.file_options import (
    DatasetOption,
    DriversOption,
    MapOption,
    OutputOption,
    OutputsOption,
    ProjectOption,
    SheetOption,
    TypesOption,
)

app = typer.Typer(help="Tables that go to site: DMX patch, DALI addresses.", no_args_is_help=True)


class PlanFormat(StrEnum):
    """How the plan is written."""

    text = "text"
    json = "json"
    csv = "csv"
    html = "html"


ScheduleArgument = Annotated[
    Path, typer.Argument(help="Circuit schedule: XLSX, ODS, XLS, CSV, JSON, Parquet.")
]
FormatOption = Annotated[PlanFormat, typer.Option("--format", help="How to write the plan.")]


@app.command("dmx")
def dmx(
    schedule: ScheduleArgument,
    drivers: DriversOption = None,
    outputs: OutputsOption = None,
    project: ProjectOption = None,
    dataset: DatasetOption = None,
    sheet: SheetOption = None,
    types: TypesOption = None,
    map: MapOption = None,
    format: FormatOption = PlanFormat.text,
    output: OutputOption = None,
) -> None:
    """Give every DMX luminaire a start address on its line. Exit code 1 when one, or all, have no place."""
    named = Path(types) if types else None
    spare_inputs(output, schedule, drivers, outputs, project, map, named, dataset=dataset)
    found = api.plan(
        "dmx",
        schedule,
        drivers=drivers,
        outputs=outputs,
        project=project,
        dataset=dataset,
        sheet=sheet,
        types=types,
        map=map,
    )
    _write(found, format, output)


@app.command("dali")
def dali(
    schedule: ScheduleArgument,
    drivers: DriversOption = None,
    outputs: OutputsOption = None,
    project: ProjectOption = None,
    dataset: DatasetOption = None,
    sheet: SheetOption = None,
    types: TypesOption = None,
    map: MapOption = None,
    format: FormatOption = PlanFormat.text,
    output: OutputOption = None,
) -> None:
    """Give every DALI gear a short address and a group. Exit code 1 when one, or all, have no place."""
    named = Path(types) if types else None
    spare_inputs(output, schedule, drivers, outputs, project, map, named, dataset=dataset)
    found = api.plan(
        "dali",
        schedule,
        drivers=drivers,
        outputs=outputs,
        project=project,
        dataset=dataset,
        sheet=sheet,
        types=types,
        map=map,
    )
    _write(found, format, output)


def _write(plan: api.PlanResult, format: PlanFormat, output: Path | None) -> None:
    if format is PlanFormat.json:
        text = plan.to_json()
    elif format is PlanFormat.csv:
        text = plan.to_csv()
    elif format is PlanFormat.html:
        text = plan.to_html()
    elif output is None:
        text = plan.to_text(screen_width(), in_colour())
    else:
        text = plan.to_text()
    give(text, output)
    raise typer.Exit(EXIT_FINE if plan.is_complete else EXIT_FINDINGS)
