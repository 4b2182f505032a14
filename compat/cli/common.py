"""What the commands share: exit codes, reading inputs, writing answers."""

from __future__ import annotations

import sys
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from compat.dataset.overlay import Setting
    from compat.dataset.read import Dataset
    from compat.engine.check import Check
    from compat.model.report import Report
    from compat.model.schedule import Schedule
    from compat.rulebook.rules import ParsedRule

EXIT_FINE = 0
EXIT_FINDINGS = 1
EXIT_BAD_INPUT = 2
EXIT_CUT_SHORT = 3

DriversOption = Annotated[
    Path | None, typer.Option("--drivers", help="Your own drivers (TOML or JSON), laid over the dataset.")
]
OutputsOption = Annotated[
    Path | None, typer.Option("--outputs", help="Your own outputs (TOML or JSON), laid over the dataset.")
]
ProjectOption = Annotated[
    Path | None, typer.Option("--project", help="Project file: supply, breaker, cable, outputs on offer.")
]
DatasetOption = Annotated[Path | None, typer.Option("--dataset", help="Folder with another rules dataset.")]
OutputOption = Annotated[
    Path | None, typer.Option("--output", help="Write to this file instead of the screen.")
]
SheetOption = Annotated[str | None, typer.Option("--sheet", help="Sheet of the workbook to read.")]


class FailOn(StrEnum):
    """From which verdict on the exit code is 1."""

    marginal = "marginal"
    unproven = "unproven"
    fails = "fails"
    hazard = "hazard"
    never = "never"


def open_dataset(folder: Path | None) -> Dataset:
    """The dataset of ``--dataset``, or the one that came with the program. Raises BadInput."""
    from compat.dataset.read import load_dataset

    return load_dataset(folder)


def open_inputs(
    dataset_folder: Path | None, drivers: Path | None, outputs: Path | None, project: Path | None
) -> tuple[Dataset, list[ParsedRule], Setting]:
    """Dataset with the user's equipment, rules and setting. Raises BadInput."""
    from compat.dataset.overlay import read_setting, with_own_equipment
    from compat.rulebook.rules import read_rules

    dataset = open_dataset(dataset_folder)
    dataset = with_own_equipment(dataset, "drivers", drivers)
    dataset = with_own_equipment(dataset, "outputs", outputs)
    setting = read_setting(dataset, project, outputs)
    return dataset, read_rules(dataset.rules_folder, dataset.vocabulary), setting


def opened_schedule(
    schedule: Path,
    drivers: Path | None,
    outputs: Path | None,
    project: Path | None,
    dataset_folder: Path | None,
    sheet: str | None,
) -> tuple[Check, Schedule]:
    """A schedule file as read, and the check it is for; a project file of the same name beside it is
    used. Raises BadInput.
    """
    from dataclasses import replace

    from compat.dataset.overlay import project_beside
    from compat.engine.check import Check
    from compat.intake.read import read_schedule

    # A path such as "." has no name; that it is no schedule is told where it is read.
    used = project or (project_beside(schedule) if schedule.name else None)
    dataset, rules, setting = open_inputs(dataset_folder, drivers, outputs, used)
    tables = dataset.tables
    read = read_schedule(schedule, dataset.vocabulary, tables["drivers"], tables["outputs"], sheet)
    if used is not None:
        note = f"Supply, offer and defaults are from the project file {used.name}."
        read = replace(read, notes=(note, *read.notes))
    return Check(dataset, rules, setting), read


def checked_report(
    schedule: Path,
    drivers: Path | None,
    outputs: Path | None,
    project: Path | None,
    dataset_folder: Path | None,
    sheet: str | None,
) -> Report:
    """The report on a schedule file; see ``opened_schedule``. Raises BadInput."""
    check, read = opened_schedule(schedule, drivers, outputs, project, dataset_folder, sheet)
    return check.report(read)


def exit_code(report: Report, fail_on: FailOn) -> int:
    """1 when a circuit or a line has the verdict of ``--fail-on`` or a worse one."""
    from compat.model.verdicts import RANK

    if fail_on is FailOn.never:
        return EXIT_FINE
    verdicts = [circuit.verdict for circuit in report.circuits] + [line.verdict for line in report.lines]
    found = any(RANK[verdict] >= RANK[fail_on.value] for verdict in verdicts)
    return EXIT_FINDINGS if found else EXIT_FINE


class CutShort(Exception):
    """The reader of our output has gone, as with ``| head``: nothing is left to say."""


def say(text: str) -> None:
    """Print an answer. Raises CutShort when its reader has gone, BadInput when there is no room for it."""
    try:
        sys.stdout.write(text)
        sys.stdout.flush()
    except BrokenPipeError:
        raise CutShort from None
    except OSError as error:
        from compat.model.faults import BadInput, Fault
        from compat.model.values import Origin

        what = f"the answer cannot be written: {error.strerror}"
        raise BadInput([Fault(what, Origin("output"), do="Use --output with another place")]) from error


def give(text: str, output: Path | None) -> None:
    """Print an answer, or write it whole to a file and say so."""
    if output is None:
        say(text)
        return
    from compat.model.files import write_atomically

    write_atomically(output, text.encode())
    sys.stderr.write(f"written: {output}\n")


def screen_width() -> int:
    """Columns of the terminal; 100 when the answer goes to a pipe or a file."""
    import shutil

    return shutil.get_terminal_size((100, 24)).columns if sys.stdout.isatty() else 100


def in_colour() -> bool:
    """Colour only on a terminal and without NO_COLOR."""
    import os

    return sys.stdout.isatty() and not os.environ.get("NO_COLOR")
