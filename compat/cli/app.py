"""The program: its commands, and what an unusable input looks like to the user."""

from __future__ import annotations

import os
import sys

import typer

from compat import __version__
from compat.cli import check, dataset, explain, template
from compat.cli.common import EXIT_BAD_INPUT, EXIT_CUT_SHORT

app = typer.Typer(
    name="compat",
    help="Will each lighting circuit dim or switch properly and safely: a verdict with its number.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
)
app.command("check")(check.check)
app.command("explain")(explain.explain)
app.command("template")(template.template)
app.add_typer(dataset.app, name="dataset")


@app.callback(invoke_without_command=True)
def start(
    version: bool = typer.Option(False, "--version", help="Show the version of the program and end."),
) -> None:
    """Will each lighting circuit dim or switch properly and safely: a verdict with its number."""
    if version:
        sys.stdout.write(f"compat {__version__}\n")
        raise typer.Exit()


def run() -> None:
    """Entry point of the command ``compat``."""
    from compat.model.faults import BadInput

    try:
        app()
    except BadInput as error:
        for fault in error.faults:
            sys.stderr.write(f"{fault.sentence()}\n")
        sys.exit(EXIT_BAD_INPUT)
    except BrokenPipeError:
        # The reader of our output has gone, as with `| head`: nothing is left to say.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        sys.exit(EXIT_CUT_SHORT)
    except KeyboardInterrupt:
        sys.stderr.write("stopped\n")
        sys.exit(EXIT_CUT_SHORT)
