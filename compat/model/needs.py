"""What the house needs beside its circuits: installation, panels, wall controls, scenes, growth.

All of it is the designer's own statement, from the table ``needs`` of a project file or from sheets of the
schedule's workbook. A field left out is not known, and an empty list says that there is none.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Annotated, Literal

from compat.model.record import NONE_LISTED, NONE_NAMED, Limits, Record

Installation = Literal["new_build", "rewire", "finished"]
Count = Annotated[int, Limits(ge=0, le=100_000)]
Share = Annotated[float, Limits(ge=0, lt=1)]
Name = Annotated[str, Limits(min_length=1, max_length=200)]


@dataclass(frozen=True, slots=True, kw_only=True)
class PanelPlace(Record):
    """A place for modules. ``rail_units`` of 18 mm are those free for them; ``rooms`` those it serves."""

    name: Name
    rail_units: Annotated[float | None, Limits(ge=0, le=10_000)] = None
    heat_most_w: Annotated[float | None, Limits(ge=0, le=100_000)] = None
    rooms: list[str] = field(default_factory=list, metadata=NONE_LISTED)


@dataclass(frozen=True, slots=True, kw_only=True)
class Button(Record):
    """One button: its engraving, and what a press, a double press and a hold do; empty where nothing."""

    engraving: str = ""
    press: str = ""
    double: str = ""
    hold: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class WallControl(Record):
    """A place on a wall where a person presses; ``neutral`` says whether its box has one."""

    name: Name
    room: str = ""
    position: str = ""
    neutral: bool | None = None
    buttons: list[Button] = field(default_factory=list, metadata=NONE_LISTED)


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene(Record):
    """Levels in percent by circuit, reached in ``fade_s`` seconds."""

    name: Name
    levels: dict[str, Annotated[float, Limits(ge=0, le=100)]] = field(
        default_factory=dict, metadata=NONE_NAMED
    )
    fade_s: Annotated[float | None, Limits(ge=0, le=86_400)] = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Clock(Record):
    """Something that happens by itself, at a time of day such as ``07:30`` or by the sun."""

    name: Name
    by: Literal["time", "sun"] = "time"
    when: str = ""
    does: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sensor(Record):
    """A sensor and what it does, such as ``presence`` in a corridor."""

    room: str
    kind: str = ""
    does: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shade(Record):
    """Shades or other motors to be moved by the same system."""

    room: str
    kind: str = "shade"
    count: Count = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Needs(Record):
    """All that is wanted of the system beside lighting each circuit.

    ``spare_share`` of outputs is to stay free. ``added_circuits`` and ``added_controls`` may come later.
    ``prices`` are the user's own, by the id of a module or by ``hub``, ``wall_control``, ``sensor``,
    ``shade`` and ``repeater``, in one currency. ``cost_weight`` says whether cost goes before spare.
    """

    installation: Installation | None = None
    phases: Literal[1, 2, 3] | None = None
    neutral_at_switches: bool | None = None
    farthest_room_m: Annotated[float | None, Limits(ge=0, le=10_000)] = None
    panels: list[PanelPlace] | None = None
    wall_controls: list[WallControl] | None = None
    wall_control_count: Count | None = None
    scenes: list[Scene] | None = None
    scene_count: Count | None = None
    clocks: list[Clock] | None = None
    conditions: list[str] | None = None
    occupancy_simulation: bool | None = None
    sensors: list[Sensor] | None = None
    shades: list[Shade] | None = None
    added_circuits: Count | None = None
    added_controls: Count | None = None
    spare_share: Share | None = None
    owner_changes: bool | None = None
    cost_weight: Literal["low", "middle", "high"] | None = None
    prices: dict[str, Annotated[float, Limits(ge=0, le=1e9)]] = field(
        default_factory=dict, metadata=NONE_NAMED
    )
