"""``compat dataset check``: is the dataset, or one's own overlay, well."""

from __future__ import annotations

import sys
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from compat.cli.common import EXIT_BAD_INPUT, EXIT_FINE, chosen_folder, give, spare_inputs
from compat.cli.file_options import DriversOption, OutputOption, OutputsOption

if TYPE_CHECKING:
    from compat.model.checks import ChecksReport

PathArgument = Annotated[
    Path | None, typer.Argument(help="Folder with rules/, schemas/ and datasets/, or a version.")
]


class Format(StrEnum):
    """Forms of the answer."""

    text = "text"
    json = "json"
    sarif = "sarif"
    junit = "junit"
    annotations = "annotations"


FormatOption = Annotated[
    Format, typer.Option("--format", help="annotations: lines that a workflow shows beside the files.")
]


def check(
    path: PathArgument = None,
    drivers: DriversOption = None,
    outputs: OutputsOption = None,
    format: FormatOption = Format.text,
    output: OutputOption = None,
) -> None:
    """Check rules, cases, tables, sources and schemas; one sentence for each fault.

    With --drivers or --outputs only your own equipment is checked, held against the dataset.
    The exit code is 0 when all is well and 2 when there is a fault.
    """
    import gc

    # The command builds much, keeps it to the end and then stops: looking for garbage only costs.
    gc.disable()
    try:
        spare_inputs(output, drivers, outputs, dataset=path)
        report = _checked(chosen_folder(path), drivers, outputs)
    finally:
        gc.enable()
    give(_rendered(report, format), output)
    if report.faults:
        count = len(report.faults)
        sys.stderr.write(f"{count} {'fault' if count == 1 else 'faults'}\n")
    raise typer.Exit(EXIT_BAD_INPUT if report.faults else EXIT_FINE)


def _checked(root: Path | None, drivers: Path | None, outputs: Path | None) -> ChecksReport:
    from compat.checks.answer import answer_of
    from compat.checks.run import CHECKS, check_dataset, check_overlay, checks_of_tables

    own = [path for path in (drivers, outputs) if path is not None]
    if own:
        return answer_of(checks_of_tables(), check_overlay(root, drivers, outputs), root, own)
    return answer_of(CHECKS, check_dataset(root), root)


def _rendered(report: ChecksReport, form: Format) -> str:
    match form:
        case Format.text:
            from compat.report.checks_text import render_text

            return render_text(report)
        case Format.json:
            from compat.report.checks_json import render_json

            return render_json(report)
        case Format.sarif:
            from compat.report.checks_sarif import render_sarif

            return render_sarif(report)
        case Format.junit:
            from compat.report.checks_junit import render_junit

            return render_junit(report)
        case Format.annotations:
            from compat.report.checks_annotations import render_annotations

            return render_annotations(report)
