"""``compat list``: drivers, outputs, rules or sources by words of their names."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

import typer

from compat import api
from compat.cli.common import EXIT_FINDINGS, EXIT_FINE, give, spare_inputs
from compat.cli.file_options import DatasetOption, DriversOption, OutputOption, OutputsOption


class Listed(StrEnum):
    """What can be listed."""

    drivers = "drivers"
    outputs = "outputs"
    rules = "rules"
    sources = "sources"


def list_entries(
    kind: Annotated[Listed, typer.Argument(help="What to list.")],
    words: Annotated[list[str] | None, typer.Argument(help="Only those with all of these words.")] = None,
    drivers: DriversOption = None,
    outputs: OutputsOption = None,
    dataset: DatasetOption = None,
    output: OutputOption = None,
) -> None:
    """List drivers, outputs, rules or sources with their ids. Exit code 1 when none fits."""
    spare_inputs(output, drivers, outputs, dataset=dataset)
    found = api.list_entries(kind.value, words or [], drivers=drivers, outputs=outputs, dataset=dataset)
    give("".join(f"{entry.id}  {entry.name}\n" for entry in found) or "none with these words\n", output)
    raise typer.Exit(EXIT_FINE if found else EXIT_FINDINGS)
