"""Lines wrapped to a width, with or without colour."""

from __future__ import annotations

from collections.abc import Iterable
from io import StringIO
from typing import TYPE_CHECKING

from compat.report.lines import Line
from compat.report.words import tied

if TYPE_CHECKING:
    from rich.console import Console
    from rich.text import Text

LEAST_WIDTH = 40
LEAST_TEXT = 16
# Stands for the space between a figure and its unit while lines are broken; private use, so that
# no word of a language holds it. A no-break space will not do: the wrapping breaks at it.
TIE = "\ue000"


def render_lines(lines: Iterable[Line], width: int, colour: bool) -> str:
    """The text of some lines, none wider than ``width`` cells (at least 40), no blanks at ends.

    The same for every terminal: no environment variable is looked at. Without ``colour`` there is
    no escape sequence in the text.
    """
    from rich.console import Console

    width = max(width, LEAST_WIDTH)
    out = StringIO()
    console = Console(
        file=out,
        width=width,
        force_terminal=colour,
        color_system="standard" if colour else None,
        no_color=not colour,
        highlight=False,
        legacy_windows=False,
        _environ={},
    )
    for paragraph in lines:
        for text in _wrapped(paragraph, width, console):
            console.print(text, no_wrap=True, overflow="ignore", crop=False, soft_wrap=True)
    return out.getvalue().replace(TIE, " ")


def _wrapped(paragraph: Line, width: int, console: Console) -> Iterable[Text]:
    from rich.text import Text

    lead = Text.assemble(" " * paragraph.indent, *paragraph.lead)
    whole = ((tied(text, TIE), style) for text, style in paragraph.parts)
    body = Text.assemble(*whole)
    if paragraph.fixed:
        return [_joined(lead, body)]
    # A lead so long that the text would have no room beside it stands above the text instead.
    hang = lead.cell_len if lead.cell_len <= width - LEAST_TEXT else paragraph.indent
    rows = list(body.wrap(console, width - hang, overflow="fold"))
    if hang < lead.cell_len:
        above = Text.assemble(*paragraph.lead).wrap(console, width - hang, overflow="fold")
        rows = [*above, *rows]
        lead = Text(" " * paragraph.indent)
    rest = Text(" " * hang)
    return [_joined(rest if number else lead, row) for number, row in enumerate(rows)] or [lead]


def _joined(lead: Text, row: Text) -> Text:
    joined = lead + row
    joined.rstrip()
    return joined
