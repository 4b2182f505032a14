"""``compat serve``: the page from the program on this machine."""

from __future__ import annotations

import sys
from typing import Annotated

import typer

from compat.model.faults import BadInput, Fault
from compat.model.values import Origin


def serve(
    port: Annotated[int, typer.Option("--port", min=0, max=65535, help="Port; 0 takes a free one.")] = 0,
    browser: Annotated[bool, typer.Option(help="Open the page in your browser.")] = True,
) -> None:
    """Open the tool as a page, answered by the program on this machine and reachable from it alone.

    The address holds a token: who does not have it gets nothing. Ctrl-C ends it and takes away the
    files that were given.
    """
    try:
        import starlette  # noqa: F401
        import uvicorn  # noqa: F401
    except ImportError as error:
        what = f"{error.name} is not installed"
        do = "Install it: pip install 'lighting-control-compat[serve]'"
        raise BadInput([Fault(what, Origin("serve"), do=do)]) from error
    from compat.page.server import serve as run

    def opened(address: str) -> None:
        sys.stderr.write(f"open {address}\nCtrl-C ends it.\n")
        sys.stderr.flush()
        if browser:
            import webbrowser

            webbrowser.open(address)

    try:
        run(port, opened)
    except OSError as error:
        what = f"port {port} cannot be used: {error.strerror}"
        raise BadInput([Fault(what, Origin("--port"), do="Leave it out to take a free one")]) from error
