"""Circuits on the outputs of modules: control lines first, then modules packed by their limits.

One packer does both. Outputs to be left free are packed as things without a load, so that the share holds
over all modules of a sort and not in each: 47 circuits with 20 % are 57 outputs, eight modules of eight.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from compat.dataset.systems import SystemKind
from compat.engine.gather import Circuit, label_of
from compat.engine.line_stated import KIND_OF_METHOD
from compat.engine.lines import Line
from compat.model.figures import amount_text, number_text
from compat.model.plan import DaliAddresses, DmxPatch, LeftOut
from compat.model.schedule import Schedule
from compat.model.system import ModuleKind
from compat.model.values import Interval
from compat.planning.candidates import Choice, Judgement, choose, names_of
from compat.planning.dali_addresses import dali_addresses
from compat.planning.dmx_patch import dmx_patch
from compat.planning.packer import Capacity, Excess, Item, folded, pack
from compat.planning.proposal import ONE_CIRCUIT_KINDS, SPARE_SHARE, LineKind

__all__ = ["SPARE_SHARE", "Assignment", "Module", "assign"]

OUTPUTS, CURRENT, LOAD = "outputs", "current", "load"
UNITS = {CURRENT: "A", LOAD: "W", OUTPUTS: ""}
SPARE = "spare "


@dataclass(slots=True)
class Module:
    """A module with what is on its outputs in order: places of circuits, or labels of lines."""

    kind: ModuleKind
    area: str
    on_outputs: list[tuple[int, ...]] = field(default_factory=list)
    lines: list[str] = field(default_factory=list)
    name: str = ""
    panel: str = ""
    phase: str = ""


@dataclass(slots=True)
class Assignment:
    """What is built of a kind, and where each circuit goes; places are those of the schedule."""

    kind: SystemKind
    chosen: dict[int, Choice]
    modules: list[Module]
    lines: list[Line]
    named_lines: frozenset[str]
    dali: DaliAddresses
    dmx: DmxPatch
    left_out: list[LeftOut]
    at_least: int
    notes: list[str]
    hubs: list[Module] = field(default_factory=list)

    def place_names(self) -> list[int]:
        """The circuits that have an output, in the order of the schedule."""
        return sorted(place for module in self.modules for on in module.on_outputs for place in on)


def assign(
    judgement: Judgement,
    schedule: Schedule,
    kind: SystemKind,
    spare_share: float,
    area_of: Mapping[str, str],
) -> Assignment:
    """Put each circuit on an output of a kind. ``area_of`` a folded room is the place that serves it."""
    chosen = choose(judgement, kind)
    left_out = [
        judgement.left_out(place, kind) for place in range(len(judgement.circuits)) if place not in chosen
    ]
    planned = _Lines(judgement, schedule, chosen, spare_share)
    left_out += planned.left_out
    modules, at_least, excess = _modules(judgement, kind, planned, spare_share, area_of)
    left_out += excess
    order = {circuit.id: number for number, circuit in enumerate(judgement.circuits)}
    return Assignment(
        kind=kind,
        chosen=chosen,
        modules=modules,
        lines=planned.lines,
        named_lines=planned.named,
        dali=planned.dali,
        dmx=planned.dmx,
        left_out=sorted(left_out, key=lambda entry: order[entry.circuit]),
        at_least=at_least,
        notes=planned.notes,
    )


class _Lines:
    """The control lines of the plan: those that the schedule names, and others for what names none."""

    def __init__(
        self, judgement: Judgement, schedule: Schedule, chosen: Mapping[int, Choice], spare_share: float
    ) -> None:
        self.judgement, self.chosen, self.spare_share = judgement, chosen, spare_share
        self.left_out: list[LeftOut] = []
        self.notes: list[str] = []
        self.single: list[int] = []
        self.places: dict[str, list[int]] = {}
        self.choice: dict[str, Choice] = {}
        self.lines: list[Line] = []
        self._sort()
        circuits = [circuit for line in self.lines for circuit in line.circuits]
        check = judgement.check
        self.dali = dali_addresses(schedule, circuits, self.lines, check.dataset, check.rules, check.site)
        self.dmx = dmx_patch(schedule, circuits, self.lines, check.dataset)

    def _sort(self) -> None:
        check = self.judgement.check
        named: dict[str, list[int]] = {}
        without: dict[str, list[int]] = {}
        for place, choice in self.chosen.items():
            method = str(self.judgement.outputs[choice.output].content("output.method"))
            if KIND_OF_METHOD.get(method) in (None, *ONE_CIRCUIT_KINDS):
                self.single.append(place)
            elif label := label_of(self.judgement.circuits[place], "line"):
                named.setdefault(label, []).append(place)
            else:
                without.setdefault(choice.output, []).append(place)
        self.named = frozenset(named)
        for line in check.lines([self._circuit(place) for places in named.values() for place in places]):
            self._add(line, named[line.id])
        self._propose(without, set(named))

    def _circuit(self, place: int) -> Circuit:
        """A circuit on the output that it has in the plan, whatever the schedule names."""
        return replace(self.judgement.circuits[place], output_id=self.chosen[place].output)

    def _propose(self, without: Mapping[str, list[int]], taken: set[str]) -> None:
        number = 0
        for output, places in sorted(without.items()):
            circuits = {self.judgement.circuits[place].id: place for place in places}
            sort = LineKind(
                self.judgement.check,
                output,
                [self._circuit(place) for place in places],
                self.spare_share,
            )
            limits = sort.limits()
            packing = pack(sort.items(), {output: limits} if limits else {})
            for _, names in packing.bins:
                number += 1
                while (label := f"L{number}") in taken:
                    number += 1
                on = [circuits[name] for name in names]
                on_line = [self._circuit(place) for place in on]
                self._add(self.judgement.check.line(label, on_line, proposed=True), on)
            for excess in packing.without_spare:
                told = f"{sort.words(excess).rstrip('.')}: fits, without {self.spare_share:.0%} spare"
                self.notes.append(f"Circuit {excess.name} has a line of its own: {told}.")
            for excess in packing.left_out:
                place = circuits[excess.name]
                self.left_out.append(_excess(self.judgement, place, sort.words(excess), False))

    def _add(self, line: Line, places: Sequence[int]) -> None:
        self.lines.append(line)
        self.places[line.id] = list(places)
        self.choice[line.id] = self.chosen[places[0]]

    def outputs_of(self, label: str) -> int:
        """How many outputs a line takes: one, or one for each universe."""
        return max(1, self.dmx.universes.get(label, 1))


def _modules(
    judgement: Judgement,
    kind: SystemKind,
    planned: _Lines,
    spare_share: float,
    area_of: Mapping[str, str],
) -> tuple[list[Module], int, list[LeftOut]]:
    """The modules by area and sort, a proven least number, and circuits that alone exceed a module."""
    items: dict[tuple[str, str], list[Item]] = {}
    on_output: dict[str, tuple[int, ...]] = {}
    for place in planned.single:
        circuit, module = judgement.circuits[place], planned.chosen[place].module
        weights = {
            OUTPUTS: 1.0,
            CURRENT: _most(judgement.quantity(place, "circuit.input_current_a")),
            LOAD: _most(judgement.quantity(place, "circuit.input_power_w")),
        }
        area = area_of.get(folded(circuit.room), "")
        on_output[f"c{circuit.id}"] = (place,)
        item = Item(f"c{circuit.id}", f"{area}|{module.id}", weights, circuit.room)
        items.setdefault((area, module.id), []).append(item)
    for label, places in planned.places.items():
        # The order of the rows decides nothing.
        circuit = min((judgement.circuits[place] for place in places), key=lambda one: one.id)
        area, module = area_of.get(folded(circuit.room), ""), planned.choice[label].module
        for number in range(planned.outputs_of(label)):
            name = f"l{label} {number}"
            on_output[name] = tuple(places) if number == 0 else ()
            items.setdefault((area, module.id), []).append(
                Item(name, f"{area}|{module.id}", {OUTPUTS: 1.0, CURRENT: 0.0, LOAD: 0.0}, circuit.room)
            )
    sorts = {module.id: module for module in kind.file.modules}
    areas = list(dict.fromkeys(["", *area_of.values()]))
    modules: list[Module] = []
    left_out: list[LeftOut] = []
    at_least = 0
    for area, sort in ((area, sort) for area in areas for sort in sorts):
        found = items.get((area, sort), [])
        if not found:
            continue
        module = sorts[sort]
        if module.output_count > 1:
            found = [*found, *spare_items(found, f"{area}|{sort}", spare_share)]
        packing = pack(found, {f"{area}|{sort}": _limits(module)})
        at_least += packing.lower_bound
        for excess in packing.left_out:
            (place,) = on_output[excess.name]
            left_out.append(_excess(judgement, place, _words(excess, module), True))
        for _, names in packing.bins:
            used = [name for name in names if not name.startswith(SPARE)]
            modules.append(
                Module(
                    module,
                    area,
                    [on_output[name] for name in used],
                    [name[1:].rpartition(" ")[0] if name[0] == "l" else "" for name in used],
                )
            )
    for number, one in enumerate(modules, 1):
        one.name = f"M{number}"
    return modules, at_least, left_out


def spare_items(items: Sequence[Item], kind: str, share: float) -> list[Item]:
    """Outputs to be left free, as things without a load."""
    count = math.ceil(len(items) * share - 1e-9)
    nothing = {OUTPUTS: 1.0, CURRENT: 0.0, LOAD: 0.0}
    return [Item(f"{SPARE}{number}", kind, nothing) for number in range(count)]


def _limits(module: ModuleKind) -> dict[str, Capacity]:
    limits = {OUTPUTS: Capacity(module.output_count)}
    if module.most_current_a is not None:
        limits[CURRENT] = Capacity(module.most_current_a)
    if module.most_load_w is not None:
        limits[LOAD] = Capacity(module.most_load_w)
    return limits


def _most(quantity: Interval | None) -> float:
    return quantity.high if quantity else math.nan


def _words(excess: Excess, module: ModuleKind) -> str:
    if excess.limit is None or excess.weight is None:
        return f"Its {excess.capacity} is not known; the module {module.name} has a limit."
    unit = UNITS.get(excess.capacity or "", "")
    limit = amount_text(excess.limit.most, excess.limit.most, unit)
    return f"It takes {number_text(excess.weight)} of {limit} that a module carries."


def _excess(judgement: Judgement, place: int, reason: str, any_kind: bool) -> LeftOut:
    circuit: Circuit = judgement.circuits[place]
    return LeftOut(
        circuit=circuit.id,
        room=circuit.room,
        luminaires=names_of(circuit),
        reason=reason,
        verdict="fails",
        any_kind=any_kind,
    )
