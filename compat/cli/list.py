"""``compat list``: drivers, outputs, rules or sources by words of their names."""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum
from typing import Annotated

import typer

from compat import api
from compat.cli.common import EXIT_FINDINGS, EXIT_FINE, give, spare_inputs
from compat.cli.file_options import DatasetOption, DriversOption, OutputOption, OutputsOption
from compat.model.faults import BadInput, Fault
from compat.model.report import Question
from compat.model.values import Origin


class Listed(StrEnum):
    """What can be listed."""

    drivers = "drivers"
    outputs = "outputs"
    rules = "rules"
    sources = "sources"


def _told(entry: api.Entry, questions: Sequence[Question]) -> str:
    """``D1  Downlight: input current (5 rules), dim floor (1)``."""
    counts = [len(question.rules) for question in questions]
    told = ", ".join(f"{q.label} ({n})" for q, n in zip(questions[1:], counts[1:], strict=True))
    first = f"{questions[0].label} ({counts[0]} rule{'' if counts[0] == 1 else 's'})"
    return f"{entry.id}  {entry.name}: {first}{f', {told}' if told else ''}\n"


def list_entries(
    kind: Annotated[Listed, typer.Argument(help="What to list.")],
    words: Annotated[list[str] | None, typer.Argument(help="Only those with all of these words.")] = None,
    drivers: DriversOption = None,
    outputs: OutputsOption = None,
    dataset: DatasetOption = None,
    output: OutputOption = None,
    incomplete: Annotated[
        bool,
        typer.Option(
            "--incomplete", help="Drivers with what is not known of them, by how many rules ask for it."
        ),
    ] = False,
) -> None:
    """List drivers, outputs, rules or sources with their ids. Exit code 1 when none fits."""
    spare_inputs(output, drivers, outputs, dataset=dataset)
    if incomplete:
        if kind is not Listed.drivers:
            what = f"--incomplete tells of drivers, not of {kind.value}"
            raise BadInput([Fault(what, Origin("command line"), do="compat list drivers --incomplete")])
        lacking = api.list_incomplete(words or [], drivers=drivers, outputs=outputs, dataset=dataset)
        give("".join(_told(*item) for item in lacking) or "nothing is missing\n", output)
        raise typer.Exit(EXIT_FINDINGS if lacking else EXIT_FINE)
    found = api.list_entries(kind.value, words or [], drivers=drivers, outputs=outputs, dataset=dataset)
    give("".join(f"{entry.id}  {entry.name}\n" for entry in found) or "none with these words\n", output)
    raise typer.Exit(EXIT_FINE if found else EXIT_FINDINGS)
