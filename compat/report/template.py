"""The templates of the HTML pages and what all of them may use."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Any

from compat.model.figures import margin_text
from compat.model.values import BASIS_TEXT
from compat.model.verdicts import MEANING, VERDICTS
from compat.report import words
from compat.report.bar import window_text

if TYPE_CHECKING:
    from jinja2 import Template


@cache
def template(name: str) -> Template:
    """A template of the folder ``templates``; every value it shows is escaped and printable."""
    from jinja2 import Environment, PackageLoader, StrictUndefined

    environment = Environment(
        loader=PackageLoader("compat.report", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        finalize=_printable,
    )
    environment.globals.update(
        meaning=MEANING,
        verdicts=VERDICTS,
        basis_text=BASIS_TEXT,
        chosen_text=words.CHOSEN_TEXT,
        no_output=words.NO_OUTPUT,
        margin_text=margin_text,
        window_text=window_text,
        words=words,
    )
    return environment.get_template(name)


def _printable(value: Any) -> Any:
    # Control characters are not allowed in HTML, and reordering ones would change what is read.
    # Markup, a subclass of str, has been through here already.
    return words.tied(words.clean(value), "\N{NO-BREAK SPACE}") if type(value) is str else value
