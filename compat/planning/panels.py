"""Modules in panels, and on phases: by the one packer, with rooms and panel places as the needs have them."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from compat.model.needs import Needs, PanelPlace
from compat.planning.assignment import Module
from compat.planning.packer import Capacity, Item, folded, pack

RAIL, PLACE = "rail units", "panel place"
NEAR = "near "


@dataclass(slots=True)
class Panels:
    """Panels by name with what of each place is there to be used; None where its size is not stated."""

    rail_units: dict[str, float | None] = field(default_factory=dict)
    rooms: dict[str, list[str]] = field(default_factory=dict)
    without: list[Module] = field(default_factory=list)


def area_of_rooms(needs: Needs) -> dict[str, str]:
    """The panel place that serves each room, by its folded name; the first that names it."""
    found: dict[str, str] = {}
    for place in needs.panels or []:
        for room in place.rooms:
            found.setdefault(folded(room), place.name)
    return found


def in_panels(modules: Sequence[Module], needs: Needs, standard_size: float) -> Panels:
    """Give each module a panel: one of the places stated, else panels of the size that the kind has."""
    places = needs.panels
    if not places:
        return _of_one_size(modules, standard_size)
    panels = Panels({one.name: one.rail_units for one in places}, {one.name: one.rooms for one in places})
    free = {one.name: math.inf if one.rail_units is None else one.rail_units for one in places}
    rest: list[Module] = []
    for module in modules:
        if module.area and free[module.area] >= module.kind.rail_units:
            module.panel = module.area
            free[module.area] -= module.kind.rail_units
        else:
            rest.append(module)
    _fill(rest, places, free, panels)
    return panels


def _fill(
    modules: Sequence[Module], places: Sequence[PanelPlace], free: dict[str, float], panels: Panels
) -> None:
    """Modules that may go anywhere. A place smaller than the largest is a bin with its lack already in it."""
    if not modules:
        return
    needed = math.fsum(module.kind.rail_units for module in modules)
    free = {name: min(room, needed) for name, room in free.items()}
    size = max([*free.values(), *(module.kind.rail_units for module in modules)])
    names = {module.name: module for module in modules}
    lacks = {f"place {number}": one.name for number, one in enumerate(places)}
    items = [
        Item(name, RAIL, {RAIL: module.kind.rail_units, PLACE: 0.0}, _room(module))
        for name, module in names.items()
    ]
    items += [Item(lack, RAIL, {RAIL: size - free[name], PLACE: 1.0}) for lack, name in lacks.items()]
    packing = pack(items, {RAIL: {RAIL: Capacity(size), PLACE: Capacity(1.0)}})
    for _, held in packing.bins:
        panel = next((lacks[name] for name in held if name in lacks), None)
        for module in (names[name] for name in held if name in names):
            if panel is None:
                panels.without.append(module)
            else:
                module.panel = panel


def _of_one_size(modules: Sequence[Module], size: float) -> Panels:
    panels = Panels()
    names = {module.name: module for module in modules}
    items = [Item(name, RAIL, {RAIL: one.kind.rail_units}, _room(one)) for name, one in names.items()]
    packing = pack(items, {RAIL: {RAIL: Capacity(size)}})
    panels.without += [names[excess.name] for excess in packing.left_out]
    for number, (_, held) in enumerate(packing.bins, 1):
        panels.rail_units[f"Panel {number}"] = None
        panels.rooms[f"Panel {number}"] = []
        for name in held:
            names[name].panel = f"Panel {number}"
    return panels


def _room(module: Module) -> str:
    return module.area


def near_the_load(modules: Sequence[Module], rooms: Mapping[int, str]) -> Panels:
    """Modules off the rail stand in the room of their first circuit, or in the place that serves it."""
    panels = Panels()
    for module in modules:
        first = next((rooms[place] for on in module.on_outputs for place in on if rooms[place]), "")
        module.panel = module.area or (f"{NEAR}{first}" if first else "")
    return panels


def balance(modules: Sequence[Module], currents: Mapping[str, float], phases: int) -> None:
    """Give each module a phase: the largest first, always to the phase that carries least.

    No phase then carries more than 4/3 of the best there is (Graham, Bounds on multiprocessing timing
    anomalies, 1969, from memory). Currents are added up as they stand.
    """
    loads = [0.0] * phases
    for module in sorted(modules, key=lambda one: (-currents[one.name], modules.index(one))):
        least = min(range(phases), key=lambda phase: (loads[phase], phase))
        module.phase = f"L{least + 1}"
        loads[least] += currents[module.name]
