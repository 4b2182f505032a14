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
    give_bytes,
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
    xlsx = "xlsx"
    pdf = "pdf"
    svg = "svg"
    dxf = "dxf"


class PlanTable(StrEnum):
    """One table in place of the whole plan; ``dmx`` and ``dali`` are of the lines that the schedule names."""

    dmx = "dmx"
    dali = "dali"
    circuits = "circuits"
    directory = "directory"
    outputs = "outputs"
    modules = "modules"
    controls = "controls"
    sequences = "sequences"
    cables = "cables"


def plan(
    schedule: Annotated[Path, typer.Argument(help="Circuit schedule: XLSX, ODS, XLS, CSV, JSON, Parquet.")],
    system: Annotated[
        str | None,
        typer.Option("--system", metavar="KIND|FILE", help="Plan with this kind of system; all without it."),
    ] = None,
    table: Annotated[
        PlanTable | None,
        typer.Option("--table", help="One table; dmx and dali: of the lines that the schedule names."),
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
    if table is not None and table not in (PlanTable.dmx, PlanTable.dali):
        found = planned(schedule, system)
    elif table is not None:
        found = api.addresses("dmx" if table is PlanTable.dmx else "dali", schedule, **files, **reading)
    elif compare is not None:
        plans = [_side(name, schedule, system, planned) for name in compare]
        found = api.PlanComparison(compare, (plans[0].plan, plans[1].plan))
    elif swap is not None:
        before, after = planned(schedule, system), planned(schedule, system, swap)
        found = api.PlanComparison(("as it is", swap), (before.plan, after.plan))
    else:
        if format is PlanFormat.csv:
            what = "a whole plan is not written as csv"
            allowed = "Allowed: text, json, html, xlsx, pdf, svg, dxf"
            raise BadInput([Fault(what, Origin("--format"), allowed, "Or use --table")])
        found = planned(schedule, system)
    _write(found, format, output, None if table is None else table.value)


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


def _write(plan: Answer, format: PlanFormat, output: Path | None, table: str | None) -> None:
    screen = (screen_width(), in_colour()) if output is None else (FILE_WIDTH, False)
    told: Any = plan
    if table is not None and isinstance(plan, api.PlanResult):
        told = api.TableResult(plan.paper(table))
    if not hasattr(told, f"to_{format.value}"):
        what = f"this is not written as {format.value}"
        raise BadInput([Fault(what, Origin("--format"), do="Leave out --table, or choose another format")])
    if format in (PlanFormat.xlsx, PlanFormat.pdf):
        give_bytes(getattr(told, f"to_{format.value}")(), output)
    elif format is PlanFormat.text:
        give(told.to_text(*screen), output)
    else:
        give(getattr(told, f"to_{format.value}")(), output)
    raise typer.Exit(EXIT_FINE if plan.is_complete else EXIT_FINDINGS)
