"""``compat check``: a schedule in, a verdict for every circuit out."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from compat import api
from compat.cli.common import (
    FailOn,
    exit_code,
    give,
    in_ascii,
    in_colour,
    screen_width,
    spare_inputs,
)
from compat.cli.file_options import (
    DatasetOption,
    DriversOption,
    MapOption,
    OutputOption,
    OutputsOption,
    ProjectOption,
    SaveMapOption,
    SheetOption,
    TypesOption,
)


class ReportFormat(StrEnum):
    """How the report is written."""

    text = "text"
    json = "json"
    html = "html"


def check(
    schedule: Annotated[Path, typer.Argument(help="Circuit schedule: XLSX, ODS, XLS, CSV, JSON, Parquet.")],
    drivers: DriversOption = None,
    outputs: OutputsOption = None,
    project: ProjectOption = None,
    dataset: DatasetOption = None,
    sheet: SheetOption = None,
    types: TypesOption = None,
    map: MapOption = None,
    save_map: SaveMapOption = None,
    show_reading: Annotated[
        bool, typer.Option("--show-reading", help="Show how the schedule is read, and judge nothing.")
    ] = False,
    format: Annotated[
        ReportFormat, typer.Option("--format", help="How to write the report.")
    ] = ReportFormat.text,
    output: OutputOption = None,
    details: Annotated[
        bool, typer.Option("--details", help="Show each circuit that does not work in full.")
    ] = False,
    fail_on: Annotated[
        FailOn, typer.Option("--fail-on", help="Verdict from which the exit code is 1.")
    ] = FailOn.fails,
) -> None:
    """Give a verdict for every circuit of a schedule, with the number behind it."""
    named = Path(types) if types else None
    for written in (output, save_map):
        maps = map if written is output else None
        spare_inputs(written, schedule, drivers, outputs, project, maps, named, dataset=dataset)
    if save_map or show_reading:
        inputs = api.Inputs(dataset, drivers, outputs, project)
        judge, read = api.open_schedule(schedule, inputs, sheet, types, map)
        if save_map:
            from compat.intake.known_headings import map_text

            give(map_text(read.reading), save_map)
        if show_reading:
            from compat.report.reading import render_reading

            give(render_reading(read, judge.dataset.vocabulary), output)
            return
    result = api.check(
        schedule,
        drivers=drivers,
        outputs=outputs,
        project=project,
        dataset=dataset,
        sheet=sheet,
        types=types,
        map=map,
        brief=format is ReportFormat.text and not details,
    )
    if format is ReportFormat.json:
        text = result.to_json()
    elif format is ReportFormat.html:
        text = result.to_html()
    elif output is None:
        text = result.to_text(screen_width(), in_colour(), details, in_ascii())
    else:
        text = result.to_text(details=details)
    give(text, output)
    raise typer.Exit(exit_code(result.report, fail_on))
