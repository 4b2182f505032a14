"""``compat dataset diff``: what changed between two editions of the dataset, and what moved."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from compat.cli.common import EXIT_FINDINGS, EXIT_FINE, give, in_colour, screen_width, spare_inputs
from compat.cli.file_options import DriversOption, OutputOption, OutputsOption, ProjectOption, SheetOption


class ChangesFormat(StrEnum):
    """How the comparison is written."""

    text = "text"
    markdown = "markdown"
    json = "json"


EditionArgument = "folder, release, or git revision of the checkout; a folder of that name comes first."


def diff(
    old: Annotated[str, typer.Argument(help=f"The earlier edition: {EditionArgument}")],
    new: Annotated[str, typer.Argument(help=f"The later edition: {EditionArgument}")],
    schedule: Annotated[
        list[Path] | None,
        typer.Option("--schedule", help="Your schedule to judge with both, in place of the reference ones."),
    ] = None,
    drivers: DriversOption = None,
    outputs: OutputsOption = None,
    project: ProjectOption = None,
    sheet: SheetOption = None,
    checkout: Annotated[Path, typer.Option("--checkout", help="Git checkout to find revisions in.")] = Path(),
    format: Annotated[
        ChangesFormat, typer.Option("--format", help="How to write the comparison.")
    ] = ChangesFormat.text,
    output: OutputOption = None,
) -> None:
    """Say what changed from OLD to NEW, which verdicts moved, and the version step it takes.

    MAJOR: an id, a field, a unit or what an outcome means changes, or a rule goes without successor.
    MINOR: a stable verdict can move. PATCH: none does. The exit code is 1 when the version in
    datapackage.json takes a smaller step than the changes need.
    """
    from compat.release.diff import dataset_changes
    from compat.release.verdict_moves import ScheduleInputs

    schedules = schedule or []
    spare_inputs(output, *schedules, drivers, outputs, project, old, new)
    if not schedules:
        _refuse_without_schedule(drivers=drivers, outputs=outputs, project=project, sheet=sheet)
    work = [ScheduleInputs(path, project, drivers, outputs, sheet) for path in schedules] or None
    changes = dataset_changes(old, new, checkout, work)
    if format is ChangesFormat.json:
        from compat.report.changes_json import render_changes_json

        text = render_changes_json(changes)
    elif format is ChangesFormat.markdown:
        from compat.report.changes_markdown import render_changes_markdown

        text = render_changes_markdown(changes)
    else:
        from compat.report.changes_text import render_changes_text

        on_screen = output is None
        text = render_changes_text(changes, screen_width() if on_screen else 100, on_screen and in_colour())
    give(text, output)
    raise typer.Exit(EXIT_FINE if changes.version_step.suffices else EXIT_FINDINGS)


def _refuse_without_schedule(**options: Path | str | None) -> None:
    """Options that are about a schedule need one. Raises BadInput."""
    from compat.model.faults import BadInput, Fault
    from compat.model.values import Origin

    do = "Name it with --schedule, or leave the option out"
    given = [name for name, value in options.items() if value is not None]
    if given:
        raise BadInput([Fault("this is about a schedule", Origin(f"--{name}"), do=do) for name in given])
