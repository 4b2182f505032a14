"""A look-up from what the command line says to the text of the answer."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING

from compat.cli.common import give, in_colour, open_inputs, screen_width

if TYPE_CHECKING:
    from compat.model.lookup import Lookup


class LookupFormat(StrEnum):
    """How the answer is written."""

    text = "text"
    json = "json"
    html = "html"


def look_up_plainly(driver: str) -> None:
    """Say what may control a driver, as ``compat lookup DRIVER`` without an option. Raises BadInput."""
    answer = answer_for(driver, {}, [], (None, None, None, None), None, None)
    give(written(answer, LookupFormat.text, on_screen=True), None)


def answer_for(
    wanted: str | None,
    stated: Mapping[str, str | None],
    others: Sequence[str],
    files: tuple[Path | None, Path | None, Path | None, Path | None],
    count: int | None,
    up_to: int | None,
) -> Lookup:
    """The look-up; ``files`` are those of dataset, drivers, outputs and project. Raises BadInput."""
    from compat.cli.driver_choice import choose_driver
    from compat.cli.stated import PLACE, Statements, with_stated
    from compat.engine.lookup import COUNTS_UP_TO, Looker
    from compat.model.faults import BadInput, Fault
    from compat.model.values import Origin

    known, rules, setting = open_inputs(*files)
    traits = Statements(known.vocabulary).read(stated, others)
    if wanted is None and not traits:
        do = "Name a driver, or state its values, such as --watts 12 --method 'trailing edge'"
        raise BadInput([Fault("there is no driver to look up", Origin(PLACE), do=do)])
    base = choose_driver(wanted, known, files[1]) if wanted is not None else None
    driver, notes = with_stated(base, traits, known.vocabulary)
    found = Looker(known, rules, setting).look(driver, count, up_to or COUNTS_UP_TO)
    return found.model_copy(update={"assumptions": [*notes, *found.assumptions]})


def chosen_format(format: LookupFormat | None, html: bool) -> LookupFormat:
    """The format asked for in one of two ways. Raises BadInput when they differ."""
    if html and format not in (None, LookupFormat.html):
        from compat.cli.stated import PLACE
        from compat.model.faults import BadInput, Fault
        from compat.model.values import Origin

        what = f"--html and --format {format.value if format else ''} ask for two formats"
        raise BadInput([Fault(what, Origin(PLACE), do="Give one of the two")])
    return LookupFormat.html if html else format or LookupFormat.text


def written(answer: Lookup, format: LookupFormat, on_screen: bool) -> str:
    """The answer in a format; on the screen as wide as that is."""
    if format is LookupFormat.json:
        from compat.report.json import render_lookup_json

        return render_lookup_json(answer)
    if format is LookupFormat.html:
        from compat.report.lookup_html import render_lookup_html

        return render_lookup_html(answer)
    from compat.report.lookup_text import render_lookup_text

    return render_lookup_text(answer, screen_width() if on_screen else 100, in_colour() and on_screen)
