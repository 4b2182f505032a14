"""The options that state a driver's traits; values are written as in the cells of a schedule."""

from __future__ import annotations

from typing import Annotated

import typer

PANEL = "The driver's values"


def _option(flag: str, text: str) -> typer.models.OptionInfo:
    found: typer.models.OptionInfo = typer.Option(flag, help=text, rich_help_panel=PANEL)
    return found


Methods = Annotated[
    list[str] | None,
    _option("--method", "A method it accepts, such as 'trailing edge' or DALI; give it once for each."),
]
LoadType = Annotated[str | None, _option("--load-type", "What it is, such as 'LED lamp'.")]
InputCharacter = Annotated[
    str | None, _option("--input-character", "resistive, capacitive or inductive towards the mains.")
]
Watts = Annotated[str | None, _option("--watts", "Input power in W, such as 12 or 11-13.")]
Current = Annotated[str | None, _option("--current", "Input current, such as 0.06 or '60 mA'.")]
PowerFactor = Annotated[str | None, _option("--power-factor", "Power factor, from above 0 to 1.")]
Voltage = Annotated[str | None, _option("--voltage", "Input voltage in V, such as 220-240.")]
Frequency = Annotated[str | None, _option("--frequency", "Input frequency in Hz, such as 50-60.")]
Inrush = Annotated[
    str | None, _option("--inrush", "Inrush peak, or peak and width, such as '28 A' or '28A/380us'.")
]
DimFloor = Annotated[str | None, _option("--dim-floor", "Lowest stable light level in %.")]
ControlCurrent = Annotated[
    str | None, _option("--control-current", "Current at its 0-10 V terminals, in mA.")
]
ControlDirection = Annotated[
    str | None, _option("--control-direction", "Whether its 0-10 V terminals source or sink current.")
]
DaliType = Annotated[str | None, _option("--dali-type", "DALI device type, such as 6 or DT8.")]
DaliCurrent = Annotated[str | None, _option("--dali-current", "Current from the DALI line, in mA.")]
DmxSlots = Annotated[str | None, _option("--dmx-slots", "DMX slots of one driver.")]
OtherTraits = Annotated[
    list[str] | None,
    _option(
        "--trait", "Any other trait of a driver as NAME=VALUE, such as dali_addresses=2; ? is not known."
    ),
]
