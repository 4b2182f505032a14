"""``compat explain``: a rule, or the chain of reasons for one circuit or one control line."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from compat import api
from compat.cli.common import give, in_colour, screen_width, spare_inputs
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


class ExplainFormat(StrEnum):
    """How the explanation is written."""

    text = "text"
    json = "json"


def explain(
    subject: Annotated[
        str, typer.Argument(help="Id or slug of a rule; with --circuit or --line, a schedule file.")
    ],
    circuit: Annotated[
        str | None, typer.Option("--circuit", help="Circuit of the schedule to explain.")
    ] = None,
    line: Annotated[
        str | None, typer.Option("--line", help="Control line of the schedule to explain.")
    ] = None,
    drivers: DriversOption = None,
    outputs: OutputsOption = None,
    project: ProjectOption = None,
    dataset: DatasetOption = None,
    sheet: SheetOption = None,
    types: TypesOption = None,
    map: MapOption = None,
    format: Annotated[ExplainFormat, typer.Option("--format", help="How to write it.")] = ExplainFormat.text,
    output: OutputOption = None,
) -> None:
    """Explain a rule, or with --circuit or --line every finding and input behind one verdict."""
    if circuit is None and line is None:
        spare_inputs(output, dataset=dataset)
        rule = api.explain(subject, dataset=dataset)
        as_json = format is ExplainFormat.json
        give(rule.to_json() if as_json else rule.to_text(screen_width(), in_colour()), output)
        return
    if circuit is not None and line is not None:
        raise typer.BadParameter("give --circuit or --line, not both")
    path = Path(subject)
    named = Path(types) if types else None
    spare_inputs(output, path, drivers, outputs, project, map, named, dataset=dataset)
    result = api.check(
        path,
        drivers=drivers,
        outputs=outputs,
        project=project,
        dataset=dataset,
        sheet=sheet,
        types=types,
        map=map,
    )
    width, colour = screen_width(), in_colour() and output is None
    if circuit is not None:
        from compat.report.explain import render_circuit_text

        of_circuit = result.circuit(circuit)
        text = render_circuit_text(result.report, of_circuit, width, colour)
        data = of_circuit.model_dump_json(indent=2)
    else:
        from compat.report.line_blocks import render_line_text

        of_line = result.line(line or "")
        text = render_line_text(result.report, of_line, width, colour)
        data = of_line.model_dump_json(indent=2)
    give(f"{data}\n" if format is ExplainFormat.json else text, output)
