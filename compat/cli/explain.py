"""``compat explain``: a rule, or the chain of reasons for one circuit or one control line."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, TypeVar

import typer

from compat.cli.common import checked_report, give, in_colour, open_dataset, screen_width, spare_inputs
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

if TYPE_CHECKING:
    from compat.model.report import CircuitReport, LineReport

T = TypeVar("T")


# So many names are told where none is like the one that was asked for.
MOST_NAMES = 8


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
        give(_rule(subject, dataset, format), output)
        return
    if circuit is not None and line is not None:
        raise typer.BadParameter("give --circuit or --line, not both")
    path = Path(subject)
    from compat.intake.read import ReadOptions

    spare_inputs(output, path, drivers, outputs, project, map, Path(types) if types else None)
    reading = ReadOptions(sheet, types, map)
    report = checked_report(path, drivers, outputs, project, dataset, sheet, reading=reading)
    width, colour = screen_width(), in_colour() and output is None
    found: CircuitReport | LineReport
    if circuit is not None:
        from compat.report.explain import render_circuit_text

        found = _named(path, "circuit", circuit, {entry.circuit: entry for entry in report.circuits})
        text = render_circuit_text(report, found, width, colour)
    else:
        from compat.report.line_blocks import render_line_text

        found = _named(path, "line", line or "", {entry.line: entry for entry in report.lines})
        text = render_line_text(report, found, width, colour)
    give(found.model_dump_json(indent=2) + "\n" if format is ExplainFormat.json else text, output)


def _named(path: Path, what: str, wanted: str, known: Mapping[str, T]) -> T:
    """The report of one name. Raises BadInput with the nearest names."""
    from compat.model.faults import BadInput, Fault, did_you_mean
    from compat.model.values import Origin

    if wanted not in known:
        fault = f"there is no {what} '{wanted}' in the schedule"
        some = ", ".join(list(known)[:MOST_NAMES]) + (", ..." if len(known) > MOST_NAMES else "")
        do = did_you_mean(wanted, known) or (f"There are: {some}" if known else f"It has no column {what}")
        raise BadInput([Fault(fault, Origin(path.name), do=do)])
    return known[wanted]


def _rule(wanted: str, folder: Path | None, format: ExplainFormat) -> str:
    from compat.model.faults import BadInput, Fault, did_you_mean
    from compat.model.values import Origin
    from compat.report.rule import render_rule_json, render_rule_text
    from compat.rulebook.rules import cases_file, read_cases, read_rules

    known = open_dataset(folder)
    rules = {rule.rule.id: rule for rule in read_rules(known.rules_folder, known.vocabulary, withdrawn=True)}
    by_slug = {rule.rule.slug: rule for rule in rules.values()}
    rule = rules.get(wanted.upper()) or by_slug.get(wanted)
    if rule is None:
        looks_like_file = Path(wanted).suffix and Path(wanted).exists()
        do = (
            "To explain a circuit add --circuit, a control line --line"
            if looks_like_file
            else did_you_mean(wanted, [*rules, *by_slug])
        )
        raise BadInput(
            [Fault(f"there is no rule '{wanted}'", Origin("rules"), "An id such as R0001, or a slug", do)]
        )
    cases = read_cases(cases_file(rule.file)).case
    if format is ExplainFormat.json:
        return render_rule_json(rule, cases, known)
    return render_rule_text(rule, cases, known, screen_width(), in_colour())
