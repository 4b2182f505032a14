"""The house as the rules of fit see it: counted from needs and assignment, as a kind counts."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from compat.engine.site import quantity
from compat.model.needs import Needs, WallControl
from compat.model.plan import Part
from compat.model.values import UNKNOWN, Content, Interval, TokenSet
from compat.planning.assignment import Assignment
from compat.planning.panels import Panels

FUNCTIONS = {"press": "press", "double": "double_press", "hold": "hold"}
DEVICES, LATER = "devices", "devices_later"


@dataclass(frozen=True, slots=True)
class House:
    """Contents by full trait name, the addends of the devices, and how many hubs there are."""

    values: Mapping[str, Content]
    parts: list[Part]
    added_later: int
    hubs: int


def house_of(needs: Needs, assignment: Assignment, panels: Panels, heat: Mapping[str, float]) -> House:
    """The house on one kind. ``heat`` is that of each panel in W. What no need states is not known."""
    parts, open_counts = _devices(needs, assignment)
    hubs = _hubs(parts, assignment)
    if "hub" in counted_by(assignment) and hubs:
        parts.append(Part(label="hubs" if hubs > 1 else "hub", count=hubs))
    total = sum(part.count for part in parts)
    growth = _growth(needs, assignment)
    holds = _holds(assignment)
    values: dict[str, Content] = {
        DEVICES: _counted_or_open(total, open_counts, holds),
        LATER: _counted_or_open(total + (growth or 0), open_counts or growth is None, holds),
        "farthest_room_m": _exact(needs.farthest_room_m),
        "new_cables_possible": None if needs.installation is None else needs.installation != "finished",
        "neutral_at_switches": _neutral(needs),
        "circuits_without_output": _exact(sum(1 for entry in assignment.left_out if entry.any_kind)),
        **_rail(needs, assignment, panels, heat),
        **_of_controls(needs),
        **_of_program(needs),
    }
    return House({f"house.{name}": content for name, content in values.items()}, parts, growth or 0, hubs)


def spare_outputs(assignment: Assignment) -> int:
    """Outputs of modules that no circuit is on."""
    return sum(module.kind.output_count - len(module.on_outputs) for module in assignment.modules)


def control_count(needs: Needs) -> int | None:
    """How many wall controls there are; None where nobody says."""
    return needs.wall_control_count if needs.wall_controls is None else len(needs.wall_controls)


def shade_count(needs: Needs) -> int | None:
    """How many shades and motors there are; None where nobody says."""
    return None if needs.shades is None else sum(shade.count for shade in needs.shades)


def counted_by(assignment: Assignment) -> frozenset[str]:
    """The sorts of device that the kind counts."""
    content = assignment.kind.traits.get("counted_devices", UNKNOWN).content
    return content.sure if isinstance(content, TokenSet) else frozenset()


def _devices(needs: Needs, assignment: Assignment) -> tuple[list[Part], bool]:
    """The addends that are known, and whether one that counts is not."""
    single = all(module.output_count == 1 for module in assignment.kind.file.modules)
    counts: dict[str, tuple[str, int | None]] = {
        "output": ("circuits" if single else "modules", len(assignment.modules)),
        "wall_control": ("wall controls", control_count(needs)),
        "sensor": ("sensors", None if needs.sensors is None else len(needs.sensors)),
        "shade": ("shades", shade_count(needs)),
        "repeater": ("repeaters", _repeaters(needs, assignment)),
    }
    counted = [counts[sort] for sort in counts if sort in counted_by(assignment)]
    known = [Part(label=label, count=count) for label, count in counted if count]
    return known, any(count is None for _, count in counted)


def _repeaters(needs: Needs, assignment: Assignment) -> int | None:
    """Repeaters on the way to the farthest room."""
    reach = quantity(assignment.kind.traits, "radio_range_m")
    if reach is None or not reach.low:
        return 0
    if needs.farthest_room_m is None:
        return None
    return max(0, math.ceil(needs.farthest_room_m / reach.low - 1e-9) - 1)


def _hubs(parts: list[Part], assignment: Assignment) -> int:
    """How many hubs hold what is known to be there; 0 for a kind without."""
    if assignment.kind.traits.get("has_hub", UNKNOWN).content is not True:
        return 0
    each = quantity(assignment.kind.traits, "devices_per_hub")
    if each is None:
        return 1
    room = each.low - (1 if "hub" in counted_by(assignment) else 0)
    most = quantity(assignment.kind.traits, "hubs_max")
    needed = max(1, math.ceil(sum(part.count for part in parts) / room)) if room > 0 else 1
    return int(min(needed, most.high)) if most else needed


def _holds(assignment: Assignment) -> float:
    each, most = (quantity(assignment.kind.traits, name) for name in ("devices_per_hub", "hubs_max"))
    return each.high * most.high if each and most else math.inf


def _counted_or_open(known: int, is_open: bool, holds: float) -> Content:
    """A count of which a part is not known decides only where what is known is too much already."""
    return None if is_open and known <= holds else _exact(known)


def _growth(needs: Needs, assignment: Assignment) -> int | None:
    """Devices that come with later growth; spare outputs are used up first."""
    if needs.added_circuits is None or needs.added_controls is None:
        return None
    counted = counted_by(assignment)
    largest = max(module.output_count for module in assignment.kind.file.modules)
    beyond = max(0, needs.added_circuits - (spare_outputs(assignment) if largest > 1 else 0))
    outputs = math.ceil(beyond / largest) if "output" in counted else 0
    return outputs + (needs.added_controls if "wall_control" in counted else 0)


def _neutral(needs: Needs) -> bool | None:
    boxes = [control.neutral for control in needs.wall_controls or []]
    if False in boxes:
        return False
    if boxes and None not in boxes:
        return True
    return needs.neutral_at_switches


def _rail(
    needs: Needs, assignment: Assignment, panels: Panels, heat: Mapping[str, float]
) -> dict[str, Content]:
    sizes = list(panels.rail_units.values())
    known = [size for size in sizes if size is not None]
    needed = math.fsum(module.kind.rail_units for module in [*assignment.hubs, *assignment.modules])
    stated = {place.name: place.heat_most_w for place in needs.panels or [] if place.heat_most_w}
    shares = [heat.get(name, 0.0) / most for name, most in stated.items() if most]
    return {
        "rail_units": _exact(needed),
        "rail_units_free": _exact(math.fsum(known)) if sizes and len(known) == len(sizes) else None,
        "modules_without_panel": _exact(len(panels.without)),
        "panel_heat_stated": bool(shares),
        "panel_heat_share": _exact(max(shares)) if shares else None,
    }


def _of_controls(needs: Needs) -> dict[str, Content]:
    controls = needs.wall_controls
    if control_count(needs) == 0:
        controls = []
    told = controls is not None and all(control.buttons for control in controls)
    listed: list[WallControl] = list(controls or [])
    functions = {
        FUNCTIONS[function]
        for control in listed
        for button in control.buttons
        for function in FUNCTIONS
        if getattr(button, function)
    }
    return {
        "wall_controls": _exact(control_count(needs)),
        "most_buttons": _exact(max((len(c.buttons) for c in listed), default=0)) if told else None,
        "button_functions": TokenSet.exactly(*functions) if told else None,
        "shades_wanted": None if needs.shades is None else bool(shade_count(needs)),
    }


def _of_program(needs: Needs) -> dict[str, Content]:
    scenes = needs.scene_count if needs.scenes is None else len(needs.scenes)
    fades = {scene.fade_s for scene in needs.scenes or [] if scene.fade_s is not None}
    clocks = needs.clocks
    added = None
    if needs.added_circuits is not None and needs.added_controls is not None:
        added = bool(needs.added_circuits or needs.added_controls)
    return {
        "scenes": _exact(scenes),
        "own_fade_times_wanted": len(fades) > 1 if needs.scenes is not None or scenes == 0 else None,
        "clocks": None if clocks is None else _exact(len(clocks)),
        "sun_clock_wanted": None if clocks is None else any(clock.by == "sun" for clock in clocks),
        "conditions_wanted": None if needs.conditions is None else bool(needs.conditions),
        "occupancy_simulation_wanted": needs.occupancy_simulation,
        "owner_changes": needs.owner_changes,
        "additions_later": added,
    }


def _exact(figure: float | None) -> Interval | None:
    return None if figure is None else Interval(float(figure), float(figure))
