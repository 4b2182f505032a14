"""The options that name files: inputs laid over the dataset, and where the answer goes."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

DriversOption = Annotated[
    Path | None,
    typer.Option("--drivers", help="Your own drivers (XLSX, ODS, CSV, TOML or JSON), laid over the dataset."),
]
OutputsOption = Annotated[
    Path | None,
    typer.Option("--outputs", help="Your own outputs (XLSX, ODS, CSV, TOML or JSON), laid over the dataset."),
]
ProjectOption = Annotated[
    Path | None, typer.Option("--project", help="Project file: supply, breaker, cable, outputs on offer.")
]
DatasetOption = Annotated[
    Path | None,
    typer.Option(
        "--dataset",
        metavar="PATH|VERSION",
        help="Another rules dataset: its folder, or a version of those in COMPAT_DATASETS.",
    ),
]
OutputOption = Annotated[Path | None, typer.Option("--output", help="Write to this file; - is the screen.")]
TypesOption = Annotated[
    str | None,
    typer.Option("--types", metavar="SHEET|FILE", help="List of luminaire types that circuits name."),
]
MapOption = Annotated[
    Path | None, typer.Option("--map", help="Which column each heading names, as --save-map wrote it.")
]
SaveMapOption = Annotated[
    Path | None, typer.Option("--save-map", help="Write which column each heading is read as.")
]
SheetOption = Annotated[str | None, typer.Option("--sheet", help="Sheet of the workbook to read.")]
