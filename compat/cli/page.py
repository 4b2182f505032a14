"""``compat page``: the tool as a page for a browser, with nothing to install."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from compat.cli.common import say


def page(
    output: Annotated[Path, typer.Option("--output", help="New or empty folder for the page.")],
    parts: Annotated[
        Path | None,
        typer.Option("--parts", help="Folder with the parts it is built of; default in your cache folder."),
    ] = None,
) -> None:
    """Write the tool as a page that runs in a browser: put the folder on any web server.

    Once opened, it works without a network. Building it needs Node.js, and fetches pinned parts with
    npm and pip from where your settings point, unless --parts has them.
    """
    from compat.page.build import build_page
    from compat.page.parts import parts_folder

    sizes = build_page(output, parts or parts_folder())
    say(f"written: {output}, {len(sizes)} files of {sum(sizes.values()) / 1e6:.1f} MB\n")
