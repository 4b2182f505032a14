"""The program: its commands, and what an unusable input looks like to the user."""

from __future__ import annotations

import contextlib
import gc
import io
import os
import sys
from collections.abc import Sequence
from importlib import import_module
from typing import NoReturn

import typer

from compat import __version__
from compat.cli.common import EXIT_BAD_INPUT, EXIT_CUT_SHORT, EXIT_FINDINGS, EXIT_FINE, CutShort, say

# What the command-line library ends with when the user presses Ctrl-C.
INTERRUPTED = 130

# Each command, or group of commands, and the module that has it. A module's ``app`` is a group.
COMMANDS = {
    "check": "check",
    "explain": "explain",
    "lookup": "lookup",
    "template": "template",
    "plan": "app",
    "dataset": "app",
}


def program(*names: str) -> typer.Typer:
    """The program with some of its commands, or with all."""
    app = typer.Typer(
        name="compat",
        help="Will each lighting circuit dim or switch properly and safely: a verdict with its number.",
        no_args_is_help=True,
        add_completion=False,
        pretty_exceptions_enable=False,
    )
    app.callback(invoke_without_command=True)(start)
    for name in names or COMMANDS:
        what = getattr(import_module(f"compat.cli.{name}"), COMMANDS[name])
        if isinstance(what, typer.Typer):
            app.add_typer(what, name=name)
        else:
            app.command(name)(what)
    return app


def named_command(arguments: Sequence[str]) -> list[str]:
    """The command that a command line names, as a list of one; empty where it names none of them.

    To load the others and their options would take a fifth of the time of a short run.
    """
    first = next((argument for argument in arguments if not argument.startswith("-")), "")
    return [first] if first in COMMANDS else []


def start(
    version: bool = typer.Option(False, "--version", help="Show the version of the program and end."),
) -> None:
    """Will each lighting circuit dim or switch properly and safely: a verdict with its number."""
    if version:
        say(f"compat {__version__}\n")
        raise typer.Exit()


def main() -> NoReturn:
    """Entry point of the command ``compat``: as :func:`run`, and then the process ends at once.

    Clearing away what a run has built takes a tenth of its time, and the system does it anyway.
    """
    code: int | str | None = EXIT_FINE
    try:
        run()
    except SystemExit as end:
        code = end.code
    for stream in (sys.stdout, sys.stderr):
        with contextlib.suppress(OSError, ValueError):
            stream.flush()
    os._exit(code if isinstance(code, int) else EXIT_FINE if code is None else EXIT_FINDINGS)


def run() -> None:
    """The command ``compat``; ends with SystemExit."""
    from compat.model.faults import BadInput

    # A command ends soon after it has built its tables: looking for rubbish in them again and again
    # takes a tenth of the time of a short run.
    gc.set_threshold(200_000)

    _prepare_streams()
    try:
        program(*named_command(sys.argv[1:]))()
    except BadInput as error:
        _end(EXIT_BAD_INPUT, *(fault.sentence() for fault in error.faults))
    except OSError as error:
        _end(EXIT_BAD_INPUT, f"{error.filename or 'a file'}: {error.strerror or error}.")
    except CutShort:
        _end(EXIT_CUT_SHORT)
    except SystemExit as end:
        if end.code == INTERRUPTED:
            _end(EXIT_CUT_SHORT, "stopped")
        raise


def _prepare_streams() -> None:
    """Off a terminal the output is UTF-8 with plain line ends, so that its bytes are the same everywhere."""
    for name in ("stdout", "stderr"):
        stream = getattr(sys, name)
        if stream is None:  # closed by whoever started us
            setattr(sys, name, io.StringIO())
        elif isinstance(stream, io.TextIOWrapper) and stream.isatty():
            stream.reconfigure(errors="replace")
        elif isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(encoding="utf-8", errors="backslashreplace", newline="\n")


def _end(code: int, *lines: str) -> NoReturn:
    """Say the lines on the error stream and end; what is left of the output has nowhere to go."""
    with contextlib.suppress(OSError):
        sys.stderr.writelines(f"{line}\n" for line in lines)
        sys.stderr.flush()
    with contextlib.suppress(OSError, ValueError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    sys.exit(code)
