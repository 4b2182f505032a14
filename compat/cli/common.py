"""What the commands share: exit codes, reading inputs, writing answers."""

from __future__ import annotations

import sys
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING

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


class FailOn(StrEnum):
    """From which verdict on the exit code is 1."""

    marginal = "marginal"
    unproven = "unproven"
    fails = "fails"
    hazard = "hazard"
    never = "never"


def chosen_folder(dataset: Path | None) -> Path | None:
    """The folder of ``--dataset``, a path or a version; None stays None. Raises BadInput."""
    from compat.dataset.find import dataset_folder

    return None if dataset is None else dataset_folder(dataset)


def open_dataset(folder: Path | None) -> Dataset:
    """The dataset of ``--dataset``, or the one that came with the program. Raises BadInput."""
    from compat.dataset.read import load_dataset

    dataset = load_dataset(chosen_folder(folder))
    if folder is not None:
        from compat.engine.needed import check_traits

        check_traits(dataset)
    return dataset


def open_inputs(
    dataset_folder: Path | None, drivers: Path | None, outputs: Path | None, project: Path | None
) -> tuple[Dataset, list[ParsedRule], Setting]:
    """Dataset with the user's equipment, rules and setting; what was not read of a list of equipment is told
    on the error stream. Raises BadInput.
    """
    from compat.dataset.overlay import read_setting
    from compat.dataset.read import data_root
    from compat.intake.own_equipment import with_own
    from compat.rulebook.kept import opened, opened_kept

    known = opened_kept(data_root()) if dataset_folder is None else opened(open_dataset(dataset_folder))
    with_drivers = with_own(known.dataset, "drivers", drivers)
    laid = with_own(with_drivers.dataset, "outputs", outputs)
    for path, notes in ((drivers, with_drivers.notes), (outputs, laid.notes)):
        for note in notes:
            sys.stderr.write(f"{path.name if path else ''}: {note}\n")
    setting = read_setting(laid.dataset, project, laid.ids, known.standing)
    return laid.dataset, known.rules, setting


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
    brief: bool = False,
) -> Report:
    """The report on a schedule file, with lines proposed where it names none. Raises BadInput."""
    from dataclasses import replace

    check, read = opened_schedule(schedule, drivers, outputs, project, dataset_folder, sheet)
    report = replace(check, brief=brief).report(read)
    if not report.circuits or any(row.line for row in read.rows):
        return report
    from rich.console import Console

    from compat.plan.packing_progress import PackingBar
    from compat.plan.proposal import with_proposed_lines

    with PackingBar(Console(stderr=True)) as progress:
        return with_proposed_lines(check, check.circuits(read), report, progress)


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


def spare_inputs(output: Path | None, *inputs: Path | None) -> None:
    """Refuse an answer that would take the place of a file that was given to be read. Raises BadInput."""
    from compat.model.faults import BadInput, Fault
    from compat.model.values import Origin

    if output is None or not output.is_file():
        return
    if any(path is not None and path.is_file() and output.samefile(path) for path in inputs):
        what = "the answer would replace this file, which was given to be read"
        raise BadInput([Fault(what, Origin(output.name), do="Choose another name for --output")])


def in_ascii() -> bool:
    """Whether the screen cannot show the marks that a report is drawn with."""
    try:
        "█░·×".encode(sys.stdout.encoding or "utf-8")
    except UnicodeEncodeError:
        return True
    return False


def screen_width() -> int:
    """Columns of the terminal; 100 when the answer goes to a pipe or a file."""
    import shutil

    return shutil.get_terminal_size((100, 24)).columns if sys.stdout.isatty() else 100


def in_colour() -> bool:
    """Colour only on a terminal and without NO_COLOR."""
    import os

    return sys.stdout.isatty() and not os.environ.get("NO_COLOR")
