"""The options that name files: inputs laid over the dataset, and where the answer goes."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

DriversOption = Annotated[
    Path | None, typer.Option("--drivers", help="Your own drivers (TOML or JSON), laid over the dataset.")
]
OutputsOption = Annotated[
    Path | None, typer.Option("--outputs", help="Your own outputs (TOML or JSON), laid over the dataset.")
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
SheetOption = Annotated[str | None, typer.Option("--sheet", help="Sheet of the workbook to read.")]
