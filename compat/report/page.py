"""Lines wrapped to a width, with or without colour."""

from __future__ import annotations

from collections.abc import Iterable
from io import StringIO
from textwrap import wrap
from typing import TYPE_CHECKING

from compat.report.cells import is_narrow
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
    width = max(width, LEAST_WIDTH)
    found: list[str] = []
    console = None
    for paragraph in lines:
        rows = None if colour else plain_rows(paragraph, width)
        if rows is None:
            console = console or _console(width, colour)
            rows = [_printed(text, console) for text in _wrapped(paragraph, width, console)]
        found += rows
    return "".join(f"{row}\n" for row in found).replace(TIE, " ")


def plain_rows(paragraph: Line, width: int) -> list[str] | None:
    """The rows of a line without styles, as the library for styled text breaks them.

    Loading that library takes as long as all the rest of a short report. None where the two could
    differ: a character that is not one cell wide, or a word that fits on no row.
    """
    lead = " " * paragraph.indent + "".join(text for text, _ in paragraph.lead)
    body = "".join(tied(text, TIE) for text, _ in paragraph.parts)
    if not lead and not body:
        return [""]
    if not is_narrow(lead + body.replace(TIE, " ")):
        return None
    if paragraph.fixed:
        return [(lead + body).rstrip()]
    if len(lead) > width - LEAST_TEXT or not body.strip():
        return None
    rest = " " * (len(lead) + paragraph.hang)
    room = width - len(rest)
    if max(map(len, body.split())) > room:
        return None
    rows = wrap(
        body,
        room,
        expand_tabs=False,
        replace_whitespace=False,
        break_long_words=False,
        break_on_hyphens=False,
    )
    return [f"{rest if number else lead}{row}".rstrip() for number, row in enumerate(rows)]


def _console(width: int, colour: bool) -> Console:
    from rich.console import Console

    return Console(
        file=StringIO(),
        width=width,
        force_terminal=colour,
        color_system="standard" if colour else None,
        no_color=not colour,
        highlight=False,
        legacy_windows=False,
        _environ={},
    )


def _printed(text: Text, console: Console) -> str:
    with console.capture() as capture:
        console.print(text, no_wrap=True, overflow="ignore", crop=False, soft_wrap=True, end="")
    return capture.get()


def _wrapped(paragraph: Line, width: int, console: Console) -> Iterable[Text]:
    from rich.text import Text

    lead = Text.assemble(" " * paragraph.indent, *paragraph.lead)
    whole = ((tied(text, TIE), style) for text, style in paragraph.parts)
    body = Text.assemble(*whole)
    if paragraph.fixed:
        return [_joined(lead, body)]
    # A lead so long that the text would have no room beside it stands above the text instead.
    hang = lead.cell_len if lead.cell_len <= width - LEAST_TEXT else paragraph.indent
    hang += paragraph.hang
    rows = list(body.wrap(console, width - hang, overflow="fold"))
    if hang - paragraph.hang < lead.cell_len:
        above = Text.assemble(*paragraph.lead).wrap(console, width - hang, overflow="fold")
        rows = [*above, *rows]
        lead = Text(" " * paragraph.indent)
    rest = Text(" " * hang)
    return [_joined(rest if number else lead, row) for number, row in enumerate(rows)] or [lead]


def _joined(lead: Text, row: Text) -> Text:
    joined = lead + row
    joined.rstrip()
    return joined
