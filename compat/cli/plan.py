"""``compat plan``: which kind of system holds the house, and where each circuit goes."""

from __future__ import annotations

import sys
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from compat import api
from compat.cli.common import (
    EXIT_FINDINGS,
    EXIT_FINE,
    give,
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
    SheetOption,
    TypesOption,
)
from compat.model.faults import BadInput, Fault
from compat.model.values import Origin

FILE_WIDTH = 100


class PlanFormat(StrEnum):
    """How the plan is written."""

    text = "text"
    json = "json"
    csv = "csv"
    html = "html"


class PlanTable(StrEnum):
    """One table of addresses in place of the whole plan."""

    dmx = "dmx"
    dali = "dali"


def plan(
    schedule: Annotated[Path, typer.Argument(help="Circuit schedule: XLSX, ODS, XLS, CSV, JSON, Parquet.")],
    system: Annotated[
        str | None,
        typer.Option("--system", metavar="KIND|FILE", help="Plan with this kind of system; all without it."),
    ] = None,
    table: Annotated[
        PlanTable | None,
        typer.Option("--table", help="Only the addresses on the lines that the schedule names."),
    ] = None,
    drivers: DriversOption = None,
    outputs: OutputsOption = None,
    project: ProjectOption = None,
    dataset: DatasetOption = None,
    sheet: SheetOption = None,
    types: TypesOption = None,
    map: MapOption = None,
    format: Annotated[PlanFormat, typer.Option("--format", help="How to write the plan.")] = PlanFormat.text,
    output: OutputOption = None,
) -> None:
    """Which kind of system holds the house, and where each circuit goes. Exit code 1 if one is left out."""
    named = Path(types) if types else None
    kind = Path(system) if system and Path(system).is_file() else None
    output = place_of(output)
    spare_inputs(output, schedule, drivers, outputs, project, map, named, kind, dataset=dataset)
    files = {"drivers": drivers, "outputs": outputs, "project": project, "dataset": dataset}
    found: api.PlanResult | api.AddressResult
    if table is not None:
        found = api.addresses(table.value, schedule, **files, sheet=sheet, types=types, map=map)
    else:
        if format in (PlanFormat.csv, PlanFormat.html):
            what = f"a whole plan is not written as {format.value}"
            raise BadInput([Fault(what, Origin("--format"), "Allowed: text, json", "Or use --table")])
        found = api.plan(
            schedule, system=system, **files, sheet=sheet, types=types, map=map, progress=_progress
        )
    _write(found, format, output)


def _progress(told: str) -> None:
    """What is being done, on a terminal only."""
    if sys.stderr.isatty():
        sys.stderr.write(f"\r\033[K{told}\r")


def _write(plan: api.PlanResult | api.AddressResult, format: PlanFormat, output: Path | None) -> None:
    if format is PlanFormat.json:
        text = plan.to_json()
    elif isinstance(plan, api.AddressResult) and format is PlanFormat.csv:
        text = plan.to_csv()
    elif isinstance(plan, api.AddressResult) and format is PlanFormat.html:
        text = plan.to_html()
    elif output is None:
        text = plan.to_text(screen_width(), in_colour())
    else:
        text = plan.to_text(FILE_WIDTH)
    give(text, output)
    raise typer.Exit(EXIT_FINE if plan.is_complete else EXIT_FINDINGS)
