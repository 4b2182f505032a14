"""``compat lookup``: one driver, what may control it and how many of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from compat.cli import driver_options as options
from compat.cli.common import (
    EXIT_FINDINGS,
    EXIT_FINE,
    DatasetOption,
    DriversOption,
    OutputOption,
    OutputsOption,
    ProjectOption,
    give,
    in_colour,
    open_inputs,
    screen_width,
)

if TYPE_CHECKING:
    from compat.dataset.read import Equipment
    from compat.model.lookup import Lookup

MOST_COUNT = 1000


class LookupFormat(StrEnum):
    """How the answer is written."""

    text = "text"
    json = "json"
    html = "html"


def lookup(
    driver: Annotated[
        str | None, typer.Argument(help="Id of a driver, or part of its name; else give its values.")
    ] = None,
    method: options.Methods = None,
    load_type: options.LoadType = None,
    input_character: options.InputCharacter = None,
    watts: options.Watts = None,
    current: options.Current = None,
    power_factor: options.PowerFactor = None,
    voltage: options.Voltage = None,
    frequency: options.Frequency = None,
    inrush: options.Inrush = None,
    dim_floor: options.DimFloor = None,
    control_current: options.ControlCurrent = None,
    control_direction: options.ControlDirection = None,
    dali_type: options.DaliType = None,
    dali_current: options.DaliCurrent = None,
    dmx_slots: options.DmxSlots = None,
    trait: options.OtherTraits = None,
    count: Annotated[
        int | None, typer.Option("--count", min=1, max=MOST_COUNT, help="Also the verdicts for so many.")
    ] = None,
    up_to: Annotated[
        int | None, typer.Option("--up-to", min=1, max=MOST_COUNT, help="Greatest count to look at; 150.")
    ] = None,
    drivers: DriversOption = None,
    outputs: OutputsOption = None,
    project: ProjectOption = None,
    dataset: DatasetOption = None,
    format: Annotated[
        LookupFormat | None, typer.Option("--format", help="How to write the answer; text.")
    ] = None,
    html: Annotated[bool, typer.Option("--html", help="Short for --format html.")] = False,
    output: OutputOption = None,
) -> None:
    """Say what may control a driver, and how many of it each output and each breaker takes.

    The driver is one of the dataset or of --drivers, or is described by
    its values; with both, the values stand in place of the driver's own.

    The exit code is 0, with --count 1 when no output on offer is shown
    to work with so many, and 2 for unusable input.
    """
    stated = {
        "--method": "; ".join(method) if method else None,
        "--load-type": load_type,
        "--input-character": input_character,
        "--watts": watts,
        "--current": current,
        "--power-factor": power_factor,
        "--voltage": voltage,
        "--frequency": frequency,
        "--inrush": inrush,
        "--dim-floor": dim_floor,
        "--control-current": control_current,
        "--control-direction": control_direction,
        "--dali-type": dali_type,
        "--dali-current": dali_current,
        "--dmx-slots": dmx_slots,
    }
    chosen = _format(format, html)
    files = (dataset, drivers, outputs, project)
    answer = _answer(driver, stated, trait or [], files, count, up_to)
    give(_written(answer, chosen, on_screen=output is None), output)
    works = any(entry.at_count and entry.at_count.verdict == "works" for entry in answer.outputs)
    raise typer.Exit(EXIT_FINE if count is None or works else EXIT_FINDINGS)


def _answer(
    wanted: str | None,
    stated: Mapping[str, str | None],
    others: Sequence[str],
    files: tuple[Path | None, Path | None, Path | None, Path | None],
    count: int | None,
    up_to: int | None,
) -> Lookup:
    """The look-up; ``files`` are those of dataset, drivers, outputs and project. Raises BadInput."""
    from compat.cli.driver_choice import choose_driver
    from compat.engine.lookup import COUNTS_UP_TO, Looker
    from compat.model.faults import BadInput, Fault
    from compat.model.values import Origin

    known, rules, setting = open_inputs(*files)
    driver: Equipment | None = None
    notes: list[str] = []
    if any(text is not None for text in stated.values()) or others:
        from compat.cli.stated import Statements, with_stated

        traits = Statements(known.vocabulary).read(stated, others)
        base = choose_driver(wanted, known, files[1]) if wanted is not None else None
        if base is not None or traits:
            driver, notes = with_stated(base, traits, known.vocabulary)
    elif wanted is not None:
        driver = choose_driver(wanted, known, files[1])
    if driver is None:
        do = "Name a driver, or state its values, such as --watts 12 --method 'trailing edge'"
        raise BadInput([Fault("there is no driver to look up", Origin("command line"), do=do)])
    found = Looker(known, rules, setting).look(driver, count, up_to or COUNTS_UP_TO)
    return found.model_copy(update={"assumptions": [*notes, *found.assumptions]})


def _format(format: LookupFormat | None, html: bool) -> LookupFormat:
    if html and format not in (None, LookupFormat.html):
        from compat.cli.stated import PLACE
        from compat.model.faults import BadInput, Fault
        from compat.model.values import Origin

        what = f"--html and --format {format.value if format else ''} ask for two formats"
        raise BadInput([Fault(what, Origin(PLACE), do="Give one of the two")])
    return LookupFormat.html if html else format or LookupFormat.text


def _written(answer: Lookup, format: LookupFormat, on_screen: bool) -> str:
    if format is LookupFormat.json:
        from compat.report.json import render_lookup_json

        return render_lookup_json(answer)
    if format is LookupFormat.html:
        from compat.report.lookup_html import render_lookup_html

        return render_lookup_html(answer)
    from compat.report.lookup_text import render_lookup_text

    return render_lookup_text(answer, screen_width() if on_screen else 100, in_colour() and on_screen)
