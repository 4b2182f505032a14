"""``compat explain``: a rule, or the chain of reasons for one circuit."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from compat.cli.common import (
    DatasetOption,
    DriversOption,
    OutputOption,
    OutputsOption,
    ProjectOption,
    SheetOption,
    checked_report,
    give,
    in_colour,
    open_dataset,
    screen_width,
)


class ExplainFormat(StrEnum):
    """How the explanation is written."""

    text = "text"
    json = "json"


def explain(
    subject: Annotated[str, typer.Argument(help="Id or slug of a rule; with --circuit, a schedule file.")],
    circuit: Annotated[
        str | None, typer.Option("--circuit", help="Circuit of the schedule to explain.")
    ] = None,
    drivers: DriversOption = None,
    outputs: OutputsOption = None,
    project: ProjectOption = None,
    dataset: DatasetOption = None,
    sheet: SheetOption = None,
    format: Annotated[ExplainFormat, typer.Option("--format", help="How to write it.")] = ExplainFormat.text,
    output: OutputOption = None,
) -> None:
    """Explain a rule, or with --circuit every finding and input behind one circuit's verdict."""
    if circuit is None:
        give(_rule(subject, dataset, format), output)
        return
    from compat.model.faults import BadInput, Fault, did_you_mean
    from compat.model.values import Origin
    from compat.report.explain import render_circuit_text

    path = Path(subject)
    report = checked_report(path, drivers, outputs, project, dataset, sheet)
    found = next((entry for entry in report.circuits if entry.circuit == circuit), None)
    if found is None:
        known = [entry.circuit for entry in report.circuits]
        what = f"there is no circuit '{circuit}' in the schedule"
        raise BadInput([Fault(what, Origin(path.name), do=did_you_mean(circuit, known))])
    if format is ExplainFormat.json:
        give(found.model_dump_json(indent=2) + "\n", output)
    else:
        give(render_circuit_text(report, found, screen_width(), in_colour() and output is None), output)


def _rule(wanted: str, folder: Path | None, format: ExplainFormat) -> str:
    from compat.model.faults import BadInput, Fault, did_you_mean
    from compat.model.values import Origin
    from compat.report.rule import render_rule_json, render_rule_text
    from compat.rulebook.rules import cases_file, read_cases, read_rules

    known = open_dataset(folder)
    rules = {rule.rule.id: rule for rule in read_rules(known.rules_folder, known.vocabulary)}
    by_slug = {rule.rule.slug: rule for rule in rules.values()}
    rule = rules.get(wanted.upper()) or by_slug.get(wanted)
    if rule is None:
        looks_like_file = Path(wanted).suffix and Path(wanted).exists()
        do = (
            "To explain a circuit add --circuit"
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
