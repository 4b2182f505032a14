"""``compat lookup``: one driver, what may control it and how many of it."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from compat import api
from compat.cli import driver_options as options
from compat.cli.common import EXIT_FINDINGS, EXIT_FINE, give, in_colour, screen_width, spare_inputs
from compat.cli.file_options import DatasetOption, DriversOption, OutputOption, OutputsOption, ProjectOption
from compat.model.faults import BadInput, Fault
from compat.model.values import Origin

MOST_COUNT = 1000


class LookupFormat(StrEnum):
    """How the answer is written."""

    text = "text"
    json = "json"
    html = "html"


def lookup(
    driver: Annotated[
        str | None,
        typer.Argument(help="Id of a driver or output, or part of a driver's name; else give its values."),
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
    light: Annotated[
        float | None,
        typer.Option("--light", min=0, max=100, help="Light in %: its DALI level, and how bright it looks."),
    ] = None,
    fade: Annotated[
        float | None, typer.Option("--fade", min=0, max=1e6, help="A fade in s: its DALI codes.")
    ] = None,
    waveform: Annotated[
        Path | None,
        typer.Option("--waveform", help="CSV file of one second of light (s, light): modulation and SVM."),
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
    if html and format not in (None, LookupFormat.html):
        what = f"--html and --format {format.value if format else ''} ask for two formats"
        raise BadInput([Fault(what, Origin("command line"), do="Give one of the two")])
    spare_inputs(output, drivers, outputs, project, waveform, dataset=dataset)
    if driver is not None and not any(stated.values()) and not trait:
        of_output = api.lookup_output(
            driver, drivers=drivers, outputs=outputs, project=project, dataset=dataset
        )
        if of_output is not None:
            as_json = format is LookupFormat.json
            give(of_output.to_json() if as_json else of_output.to_text(), output)
            raise typer.Exit(EXIT_FINE)
    result = api.lookup(
        driver,
        stated=stated,
        traits=trait or [],
        count=count,
        up_to=up_to,
        light_percent=light,
        fade_s=fade,
        waveform=waveform,
        drivers=drivers,
        outputs=outputs,
        project=project,
        dataset=dataset,
    )
    if format is LookupFormat.json:
        text = result.to_json()
    elif html or format is LookupFormat.html:
        text = result.to_html()
    elif output is None:
        text = result.to_text(screen_width(), in_colour())
    else:
        text = result.to_text()
    give(text, output)
    works = any(entry.at_count and entry.at_count.verdict == "works" for entry in result.answer.outputs)
    raise typer.Exit(EXIT_FINE if count is None or works else EXIT_FINDINGS)
