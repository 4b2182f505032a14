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
    MapOption,
    OutputOption,
    OutputsOption,
    ProjectOption,
    SaveMapOption,
    SheetOption,
    TypesOption,
)
from compat.cli.waiting import progress
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
    pdf = "pdf"
    sarif = "sarif"
    junit = "junit"
    annotations = "annotations"


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
        bool, typer.Option("--details", help="Text and JSON in full, with what every finding rests on.")
    ] = False,
    questions: Annotated[
        Path | None,
        typer.Option("--questions", help="Write what to ask as a workbook with cells for the answers."),
    ] = None,
    answers: Annotated[
        Path | None, typer.Option("--answers", help="That workbook filled in: judge with the answers.")
    ] = None,
    since: Annotated[
        Path | None,
        typer.Option("--since", help="Earlier report in JSON: tell what got better, worse, new or gone."),
    ] = None,
    watch: Annotated[
        bool, typer.Option("--watch", help="Judge again whenever a file that is read changes.")
    ] = False,
    fail_on: Annotated[
        FailOn, typer.Option("--fail-on", help="Verdict from which the exit code is 1.")
    ] = FailOn.fails,
) -> None:
    """Give a verdict for every circuit of a schedule, with the number behind it."""
    output = place_of(output)
    named = Path(types) if types else None
    for written in (output, save_map, questions):
        maps = None if written is save_map else map
        read_from = (schedule, drivers, outputs, project, since, maps, named, answers)
        spare_inputs(written, *read_from, dataset=dataset)
    if since is not None and format is not ReportFormat.text:
        what = f"--since is told as text, not as {format.value}"
        raise BadInput([Fault(what, Origin("command line"), do="Leave out one of the two")])
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

    def judged() -> int:
        with progress(f"Judging {schedule.name}"):
            result = api.check(
                schedule,
                drivers=drivers,
                outputs=outputs,
                project=project,
                dataset=dataset,
                sheet=sheet,
                types=types,
                map=map,
                answers=answers,
                brief=format is ReportFormat.text and not details,
            )
            if questions is not None:
                give_bytes(result.to_questions(), questions)
            if format in (ReportFormat.xlsx, ReportFormat.pdf):
                told: str | bytes = result.to_xlsx() if format is ReportFormat.xlsx else result.to_pdf()
            else:
                told = _rendered(result, format, details, since, output is None)
        if isinstance(told, bytes):
            give_bytes(told, output)
        else:
            give(told, output)
        return exit_code(result.report, fail_on)

    if watch:
        from compat.cli.waiting import watch as again

        given = (schedule, drivers, outputs, project, map, answers, named, since)
        files = [path for path in given if path is not None]
        again(judged, lambda: [*files, schedule.with_suffix(".toml")])
    raise typer.Exit(judged())


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
