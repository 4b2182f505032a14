"""The commands of the program, put together for the library that reads the command line."""

from __future__ import annotations

from collections.abc import Sequence
from importlib import import_module

import typer

from compat import __version__
from compat.cli.common import say

# Each command, or group of commands, and the module that has it. A module's ``app`` is a group.
COMMANDS = {
    "check": "check",
    "explain": "explain",
    "lookup": "lookup",
    "list": "list_entries",
    "template": "template",
    "plan": "plan",
    "dataset": "app",
    "page": "page",
    "serve": "serve",
}


def program(*names: str) -> typer.Typer:
    """The program with some of its commands, or with all."""
    app = typer.Typer(
        name="compat",
        help="Will each lighting circuit dim or switch properly and safely: a verdict with its number.",
        no_args_is_help=True,
        # A shell that completes a word names no command; without it the options need not be loaded.
        add_completion=not names,
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
