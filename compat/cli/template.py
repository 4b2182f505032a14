"""``compat template``: an empty schedule to fill in."""

from __future__ import annotations

import sys
from enum import StrEnum
from pathlib import Path
from typing import Annotated

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
    output: Annotated[
        Path | None, typer.Option("--output", help="File to write; default schedule.xlsx or .csv.")
    ] = None,
    overwrite: Annotated[bool, typer.Option("--overwrite", help="Replace the file if it is there.")] = False,
    dataset: DatasetOption = None,
) -> None:
    """Write an empty schedule with headings, drop-down lists and one filled example row."""
    from compat.intake.template import write_template
    from compat.model.faults import BadInput, Fault
    from compat.model.values import Origin

    path = output or Path(f"schedule.{format.value}")
    if path.exists() and not overwrite:
        raise BadInput(
            [Fault("the file is already there", Origin(str(path)), do="Use --output or --overwrite")]
        )
    spare_inputs(path, dataset=dataset)
    known = api.load_dataset(dataset)
    write_template(
        path, format.value, known.vocabulary, list(known.tables["drivers"]), list(known.tables["outputs"])
    )
    sys.stderr.write(f"written: {path}\n")
