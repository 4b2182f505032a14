"""``compat template``: an empty schedule to fill in."""

from __future__ import annotations

import sys
from enum import StrEnum
from pathlib import Path
from typing import Annotated, Literal

import typer

from compat import api
from compat.cli.common import spare_inputs
from compat.cli.file_options import DatasetOption


class TemplateFormat(StrEnum):
    """Kind of file."""

    xlsx = "xlsx"
    csv = "csv"


def template(
    format: Annotated[TemplateFormat, typer.Option("--format", help="Kind of file.")] = TemplateFormat.xlsx,
    drivers: Annotated[bool, typer.Option("--drivers", help="An empty list of your own drivers.")] = False,
    outputs: Annotated[bool, typer.Option("--outputs", help="An empty list of your own outputs.")] = False,
    output: Annotated[
        Path | None,
        typer.Option("--output", help="File to write; default schedule.xlsx or .csv, or the list."),
    ] = None,
    overwrite: Annotated[bool, typer.Option("--overwrite", help="Replace the file if it is there.")] = False,
    dataset: DatasetOption = None,
) -> None:
    """Write an empty schedule, or list of equipment, with headings, drop-down lists and one example row."""
    from compat.model.faults import BadInput, Fault
    from compat.model.values import Origin

    if drivers and outputs:
        what = "--drivers and --outputs write two lists"
        raise BadInput([Fault(what, Origin("command line"), do="Give the command once for each")])
    name = "drivers" if drivers else "outputs" if outputs else "schedule"
    path = output or Path(f"{name}.{format.value}")
    if path.exists() and not overwrite:
        raise BadInput(
            [Fault("the file is already there", Origin(str(path)), do="Use --output or --overwrite")]
        )
    spare_inputs(path, dataset=dataset)
    known = api.load_dataset(dataset)
    if name == "schedule":
        from compat.intake.template import write_template

        tables = known.tables
        ids = list(tables["drivers"]), list(tables["outputs"])
        write_template(path, format.value, known.vocabulary, *ids, api.project_lists(known))
    else:
        from compat.intake.template_lists import write_list_template

        table: Literal["drivers", "outputs"] = "drivers" if drivers else "outputs"
        write_list_template(path, format.value, table, known.vocabulary)
    sys.stderr.write(f"written: {path}\n")
