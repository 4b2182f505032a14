"""What the commands share: exit codes, reading inputs, writing answers."""

from __future__ import annotations

import sys
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from compat.model.report import Report

EXIT_FINE = 0
EXIT_FINDINGS = 1
EXIT_BAD_INPUT = 2
EXIT_CUT_SHORT = 3
# A fault of the program itself, by the name EX_SOFTWARE of sysexits.h.
EXIT_PROGRAM_FAULT = 70


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


def place_of(output: Path | None) -> Path | None:
    """Where an answer goes: None is the screen, which ``-`` names too."""
    return None if output is None or str(output) == "-" else output


def give_bytes(data: bytes, output: Path | None) -> None:
    """Write an answer that is no text to a file, or into a pipe. Raises BadInput for a terminal."""
    if output is None and sys.stdout.isatty():
        from compat.model.faults import BadInput, Fault
        from compat.model.values import Origin

        what = "this format is no text for a terminal"
        raise BadInput([Fault(what, Origin("--format"), do="Use --output with a file name")])
    if output is None:
        sys.stdout.buffer.write(data)
        sys.stdout.flush()
        return
    from compat.model.files import write_atomically

    write_atomically(output, data)
    sys.stderr.write(f"written: {output}\n")


def spare_inputs(output: Path | None, *inputs: Path | str | None, dataset: Path | None = None) -> None:
    """Refuse an answer that would take the place of a file that is read. Raises BadInput.

    ``inputs`` are the schedules and other files of a command, or editions of the dataset; a project file
    beside a schedule counts, and so does every file of the dataset, by default the program's own.
    """
    from compat.dataset.read import PARTS, data_root
    from compat.model.faults import BadInput, Fault
    from compat.model.files import is_one_of
    from compat.model.values import Origin

    if output is None or not output.is_file():
        return
    given = [Path(path) for path in inputs if path]
    beside = [path.with_suffix(".toml") for path in given if path.name and path.is_file()]
    folders = [path for path in given if path.is_dir()] + [chosen_folder(dataset) or data_root()]
    parts = [folder / part for folder in folders for part in PARTS]
    if is_one_of(output, [*(path for path in given if path.is_file()), *beside, *parts]):
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
