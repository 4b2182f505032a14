"""``compat plan``: which kind of system holds the house, and where each circuit goes."""

from __future__ import annotations

import sys
from collections.abc import Callable
from enum import StrEnum
from pathlib import Path
from typing import Annotated, Any, TypeAlias

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
Answer: TypeAlias = "api.PlanResult | api.PlanComparison | api.AddressResult"


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
    compare: Annotated[
        tuple[str, str] | None,
        typer.Option(
            "--compare",
            metavar="A B",
            help="Two side by side: kinds of system, schedules, or plans of another date as JSON.",
        ),
    ] = None,
    swap: Annotated[
        str | None,
        typer.Option("--swap", metavar="TYPE=DRIVER", help="What if this luminaire type had that driver."),
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
    files: dict[str, Any] = {"drivers": drivers, "outputs": outputs, "project": project, "dataset": dataset}
    reading: dict[str, Any] = {"sheet": sheet, "types": types, "map": map}

    def planned(path: Path, kind: str | None, swap: str | None = None) -> api.PlanResult:
        return api.plan(path, system=kind, **files, **reading, swap=swap, progress=_progress)

    found: Answer
    if table is not None:
        found = api.addresses(table.value, schedule, **files, **reading)
    elif compare is not None:
        plans = [_side(name, schedule, system, planned) for name in compare]
        found = api.PlanComparison(compare, (plans[0].plan, plans[1].plan))
    elif swap is not None:
        before, after = planned(schedule, system), planned(schedule, system, swap)
        found = api.PlanComparison(("as it is", swap), (before.plan, after.plan))
    else:
        if format in (PlanFormat.csv, PlanFormat.html):
            what = f"a whole plan is not written as {format.value}"
            raise BadInput([Fault(what, Origin("--format"), "Allowed: text, json", "Or use --table")])
        found = planned(schedule, system)
    _write(found, format, output)


def _side(
    name: str, schedule: Path, system: str | None, planned: Callable[[Path, str | None], api.PlanResult]
) -> api.PlanResult:
    """One side of a comparison: an earlier plan, another schedule, or a kind of system on this schedule."""
    path = Path(name)
    if path.suffix.lower() == ".json" and path.is_file() and api.is_plan(path):
        return api.PlanResult(api.read_plan(path))
    if path.is_file() and path.suffix.lower() != ".toml":
        return planned(path, system)
    return planned(schedule, name)


def _progress(told: str) -> None:
    """What is being done, on a terminal only."""
    if sys.stderr.isatty():
        sys.stderr.write(f"\r\033[K{told}\r")


def _write(plan: Answer, format: PlanFormat, output: Path | None) -> None:
    if format is PlanFormat.json:
        text = plan.to_json()
    elif not isinstance(plan, api.PlanResult) and format is PlanFormat.csv:
        text = plan.to_csv()
    elif not isinstance(plan, api.PlanResult) and format is PlanFormat.html:
        text = plan.to_html()
    elif output is None:
        text = plan.to_text(screen_width(), in_colour())
    else:
        text = plan.to_text(FILE_WIDTH)
    give(text, output)
    raise typer.Exit(EXIT_FINE if plan.is_complete else EXIT_FINDINGS)
