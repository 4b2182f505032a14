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
    give_bytes,
    in_ascii,
    in_colour,
    place_of,
    screen_width,
    spare_inputs,
)
from compat.cli.file_options import (
    DatasetOption,
    DriversOption,
    OutputOption,
    OutputsOption,
    ProjectOption,
    SheetOption,
)
from compat.model.faults import BadInput, Fault
from compat.model.values import Origin

FILE_WIDTH = 100


class ReportFormat(StrEnum):
    """How the report is written."""

    text = "text"
    json = "json"
    html = "html"
    csv = "csv"
    markdown = "markdown"
    jsonl = "jsonl"
    xlsx = "xlsx"
    sarif = "sarif"
    junit = "junit"
    annotations = "annotations"


def check(
    schedule: Annotated[Path, typer.Argument(help="Circuit schedule: XLSX, CSV, JSON or Parquet.")],
    drivers: DriversOption = None,
    outputs: OutputsOption = None,
    project: ProjectOption = None,
    dataset: DatasetOption = None,
    sheet: SheetOption = None,
    format: Annotated[
        ReportFormat, typer.Option("--format", help="How to write the report.")
    ] = ReportFormat.text,
    output: OutputOption = None,
    details: Annotated[
        bool, typer.Option("--details", help="Text and JSON in full, with what every finding rests on.")
    ] = False,
    since: Annotated[
        Path | None,
        typer.Option("--since", help="Earlier report in JSON: tell what got better, worse, new or gone."),
    ] = None,
    fail_on: Annotated[
        FailOn, typer.Option("--fail-on", help="Verdict from which the exit code is 1.")
    ] = FailOn.fails,
) -> None:
    """Give a verdict for every circuit of a schedule, with the number behind it."""
    output = place_of(output)
    spare_inputs(output, schedule, drivers, outputs, project, since)
    if since is not None and format is not ReportFormat.text:
        what = f"--since is told as text, not as {format.value}"
        raise BadInput([Fault(what, Origin("command line"), do="Leave out one of the two")])
    result = api.check(
        schedule,
        drivers=drivers,
        outputs=outputs,
        project=project,
        dataset=dataset,
        sheet=sheet,
        brief=format is ReportFormat.text and not details,
    )
    if format is ReportFormat.xlsx:
        give_bytes(result.to_xlsx(), output)
    else:
        give(_rendered(result, format, details, since, output is None), output)
    raise typer.Exit(exit_code(result.report, fail_on))


def _rendered(
    result: api.CheckResult, form: ReportFormat, details: bool, since: Path | None, on_screen: bool
) -> str:
    match form:
        case ReportFormat.text:
            screen = (screen_width(), in_colour()) if on_screen else (FILE_WIDTH, False)
            before = result.since(since, *screen) if since is not None else ""
            return before + result.to_text(*screen, details, on_screen and in_ascii())
        case ReportFormat.json:
            return result.to_json(details)
        case _:
            told: str = getattr(result, f"to_{form.value}")()
            return told
