"""A plan as a whole: every kind of system held against the house, and one of them built."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from compat.dataset.systems import SystemKind
from compat.engine.check import Check
from compat.engine.gather import label_of
from compat.engine.line_report import report_line
from compat.engine.subject import place_of
from compat.model.cautions import STANDING_CAUTION
from compat.model.figures import amount_text
from compat.model.needs import Needs
from compat.model.plan import CircuitPlace, LineUse, ModuleUse, PanelUse, PhaseUse, Plan
from compat.model.report import Amount
from compat.model.schedule import Schedule
from compat.model.system import ModuleKind
from compat.model.values import BASIS_TEXT, UNKNOWN, Interval
from compat.planning.assignment import SPARE_SHARE, Assignment, Module, assign
from compat.planning.cables import cable_runs
from compat.planning.candidates import Judgement, names_of
from compat.planning.fit import Built, fit_findings, questions_of, ranked, system_fit
from compat.planning.house_traits import House, house_of
from compat.planning.line_members import stamp
from compat.planning.packer import folded
from compat.planning.panels import Panels, area_of_rooms, balance, in_panels, near_the_load

Progress = Callable[[str], None]


def plan_house(
    check: Check,
    schedule: Schedule,
    kinds: Sequence[SystemKind],
    needs: Needs,
    progress: Progress = lambda told: None,
) -> Plan:
    """The plan of a schedule with the first by rank of ``kinds``, of which there is at least one.

    ``progress`` is told what is being done. The order of the rows changes only the order of what is listed.
    """
    progress(f"judging {len(schedule.rows)} rows")
    of_place: dict[bool, _Making] = {}
    built = []
    for kind in kinds:
        progress(f"planning {kind.file.name}")
        in_boxes = _is_in_boxes(kind)
        if in_boxes not in of_place:
            alike = [other for other in kinds if _is_in_boxes(other) == in_boxes]
            of_place[in_boxes] = _Making(Judgement.of(check, schedule, alike, in_boxes), schedule, needs)
        built.append(of_place[in_boxes].build(kind))
    order = ranked(built, needs)
    return of_place[_is_in_boxes(order[0].assignment.kind)].told(order)


def _is_in_boxes(kind: SystemKind) -> bool:
    """Whether the outputs of a kind are in the boxes of wall switches."""
    return kind.traits.get("module_place", UNKNOWN).content == "switch_box"


class _Making:
    def __init__(self, judgement: Judgement, schedule: Schedule, needs: Needs) -> None:
        self.judgement, self.schedule, self.needs = judgement, schedule, needs
        self.spare_share = SPARE_SHARE if needs.spare_share is None else needs.spare_share
        self.panels: dict[str, Panels] = {}

    def build(self, kind: SystemKind) -> Built:
        """Assign, put in panels and judge the fit of one kind."""
        in_rail = kind.traits.get("in_panels", UNKNOWN).content is True
        areas = area_of_rooms(self.needs)
        assignment = assign(self.judgement, self.schedule, kind, self.spare_share, areas)
        hubs = house_of(self.needs, assignment, Panels(), {}).hubs
        for number in range(1, hubs + 1):
            hub = ModuleKind(
                id="hub", name="Hub or controller", outputs=["hub"], rail_units=kind.file.hub_rail_units
            )
            assignment.hubs.append(Module(hub, "", name=f"Hub {number}"))
        everything = [*assignment.hubs, *assignment.modules]
        if in_rail:
            on_rail = [module for module in everything if module.kind.rail_units]
            panels = in_panels(on_rail, self.needs, kind.file.panel_rail_units)
            rest = [module for module in everything if not module.kind.rail_units]
        else:
            panels, rest = Panels(), everything
        near_the_load(rest, {n: one.room for n, one in enumerate(self.judgement.circuits)})
        if in_rail:
            currents = {module.name: self._current(module).high for module in assignment.modules}
            balance(assignment.modules, currents, self.needs.phases or 1)
        self.panels[kind.file.id] = panels
        heat = {panel.panel: panel.heat.high or 0.0 for panel in self._panels(assignment)}
        house: House = house_of(self.needs, assignment, panels, heat)
        check = self.judgement.check
        return Built(assignment, house, fit_findings(assignment, house, check.rules, check.dataset))

    def told(self, order: Sequence[Built]) -> Plan:
        """The plan with the first of some kinds."""
        first = order[0]
        assignment, dataset = first.assignment, self.judgement.check.dataset
        circuits = self._circuits(assignment)
        return Plan(
            **stamp(self.schedule, dataset),
            needs=self.needs,
            fits=[system_fit(one, rank, self.needs) for rank, one in enumerate(order, 1)],
            questions=questions_of(order),
            system=assignment.kind.file.slug,
            system_name=assignment.kind.file.name,
            circuits=circuits,
            modules=[self._module(module) for module in [*assignment.hubs, *assignment.modules]],
            modules_at_least=assignment.at_least,
            panels=self._panels(assignment),
            phases=self._phases(assignment),
            lines=self._lines(assignment),
            dali=assignment.dali.places,
            dmx=assignment.dmx.places,
            cables=cable_runs(self.judgement, assignment, circuits, self.needs),
            left_out=assignment.left_out,
            not_planned=[*assignment.dali.not_planned, *assignment.dmx.not_planned],
            cautions=[STANDING_CAUTION],
            notes=[*self.schedule.notes, *self._notes(assignment)],
        )

    def _notes(self, assignment: Assignment) -> list[str]:
        notes = [*assignment.notes, *assignment.dali.notes, *assignment.dmx.notes]
        basis = BASIS_TEXT[assignment.kind.file.basis]
        notes.append(f"The limits of the kind are {basis}; --system FILE takes those of your own.")
        if self.needs.spare_share is None:
            notes.append(f"{SPARE_SHARE:.0%} of the outputs are left free (common practice, no source).")
        if self.needs.phases is None and any(module.phase for module in assignment.modules):
            notes.append("The number of phases is not stated; one is taken.")
        return [*notes, *self._unknown_names()]

    def _unknown_names(self) -> list[str]:
        """Notes on rooms and circuits of the needs that the schedule does not have."""
        rooms = {folded(circuit.room) for circuit in self.judgement.circuits}
        circuits = {circuit.id for circuit in self.judgement.circuits}
        notes = [
            f"Panel place {place.name} serves {room}, and no circuit is there."
            for place in self.needs.panels or []
            for room in place.rooms
            if folded(room) not in rooms
        ]
        return notes + [
            f"Scene {scene.name} sets circuit {name}, which the schedule does not have."
            for scene in self.needs.scenes or []
            for name in scene.levels
            if name not in circuits
        ]

    def _circuits(self, assignment: Assignment) -> list[CircuitPlace]:
        where = {
            place: (module, number, line)
            for module in assignment.modules
            for number, (on, line) in enumerate(zip(module.on_outputs, module.lines, strict=True), 1)
            for place in on
        }
        return [self._circuit(assignment, place, *where[place]) for place in sorted(where)]

    def _circuit(
        self, assignment: Assignment, place: int, module: Module, number: int, line: str
    ) -> CircuitPlace:
        judgement, output = self.judgement, assignment.chosen[place].output
        circuit, kind = judgement.circuits[place], judgement.outputs[output].output
        assert kind is not None
        verdict, expected = judgement.verdicts(place, output)
        window = judgement.window(place, output)
        return CircuitPlace(
            circuit=circuit.id,
            room=circuit.room,
            luminaires=names_of(circuit),
            output=output,
            output_name=kind.name,
            method=judgement.outputs[output].text("output.method"),
            module=module.name,
            output_number=number,
            panel=module.panel,
            phase=module.phase,
            line=line,
            verdict=verdict,
            expected=expected,
            assumes=judgement.assumed(place, output) if expected else [],
            load=_amount(judgement.quantity(place, "circuit.input_power_w"), "w", "W"),
            current=_amount(judgement.quantity(place, "circuit.input_current_a"), "a", "A"),
            window_low_w=window.low if window else None,
            window_high_w=window.high if window else None,
            points=sum(member.row.quantity for member in circuit.members),
            protective_device=self._device(label_of(circuit, "breaker")),
            rcd=label_of(circuit, "rcd") or "",
            place=place_of(circuit.members[0].row.origins.get("quantity")),
        )

    def _device(self, label: str | None) -> str:
        """The label of a protective device with what the project says it is."""
        project = self.judgement.check.setting.project
        named = self.judgement.check.setting.breaker.name if project.breaker else ""
        return ": ".join(filter(None, (label, named)))

    def _sum(self, module: Module, name: str) -> Interval | None:
        """What the circuits of a module take together; those on a control line are fed from elsewhere."""
        places = [
            place
            for on, line in zip(module.on_outputs, module.lines, strict=True)
            for place in on
            if not line
        ]
        found = [self.judgement.quantity(place, name) for place in places]
        known = [one for one in found if one is not None]
        if len(known) < len(found):
            return None
        return Interval(math.fsum(one.low for one in known), math.fsum(one.high for one in known))

    def _current(self, module: Module) -> Interval:
        return self._sum(module, "circuit.input_current_a") or Interval(0.0, 0.0)

    def _heat(self, module: Module) -> Interval:
        """Heat of a module at full load, by what its kind loses for each ampere."""
        current, kind = self._current(module), module.kind
        return Interval(
            kind.idle_w + kind.loss_w_per_a * current.low, kind.idle_w + kind.loss_w_per_a * current.high
        )

    def _module(self, module: Module) -> ModuleUse:
        is_hub = module.kind.id == "hub"
        return ModuleUse(
            module=module.name,
            kind=module.kind.id,
            name=module.kind.name,
            panel=module.panel,
            phase=module.phase,
            rail_units=module.kind.rail_units,
            outputs=0 if is_hub else module.kind.output_count,
            used=len(module.on_outputs),
            load=_amount(self._sum(module, "circuit.input_power_w"), "w", "W"),
            current=_amount(self._sum(module, "circuit.input_current_a"), "a", "A"),
            heat=_amount(self._heat(module), "w", "W"),
            most_load_w=module.kind.most_load_w,
            most_current_a=module.kind.most_current_a,
        )

    def _panels(self, assignment: Assignment) -> list[PanelUse]:
        known = self.panels[assignment.kind.file.id]
        holding: dict[str, list[Module]] = {name: [] for name in known.rail_units}
        for module in [*assignment.hubs, *assignment.modules]:
            if module.panel:
                holding.setdefault(module.panel, []).append(module)
        found = []
        for name, modules in holding.items():
            used, size = math.fsum(module.kind.rail_units for module in modules), known.rail_units.get(name)
            heats = [self._heat(module) for module in modules]
            heat = Interval(math.fsum(one.low for one in heats), math.fsum(one.high for one in heats))
            found.append(
                PanelUse(
                    panel=name,
                    rooms=known.rooms.get(name, []),
                    modules=[module.name for module in modules],
                    rail_units=used,
                    rail_units_free=None if size is None else size - used,
                    heat=_amount(heat, "w", "W"),
                )
            )
        return found

    def _phases(self, assignment: Assignment) -> list[PhaseUse]:
        on: dict[str, list[Module]] = {}
        for module in assignment.modules:
            if module.phase:
                on.setdefault(module.phase, []).append(module)
        found = []
        for phase, modules in sorted(on.items()):
            currents = [self._current(module) for module in modules]
            total = Interval(math.fsum(c.low for c in currents), math.fsum(c.high for c in currents))
            names = [module.name for module in modules]
            found.append(PhaseUse(phase=phase, modules=names, current=_amount(total, "a", "A")))
        return found

    def _lines(self, assignment: Assignment) -> list[LineUse]:
        check = self.judgement.check
        used = {**assignment.dali.used, **assignment.dmx.universes}
        place_of_circuit = {circuit.id: n for n, circuit in enumerate(self.judgement.circuits)}
        return [
            LineUse(
                line=line.id,
                kind=check.dataset.vocabulary.symbol(line.kind, "line_kind") if line.kind else "",
                output=assignment.chosen[place_of_circuit[line.circuits[0].id]].output,
                modules=[module.name for module in assignment.modules if line.id in module.lines],
                circuits=[circuit.id for circuit in line.circuits],
                proposed=line.id not in assignment.named_lines,
                used=used.get(line.id, 0),
                verdict=report_line(line, check.rules, check.site, check.dataset).verdict,
            )
            for line in assignment.lines
        ]


def _amount(interval: Interval | None, unit: str, symbol: str) -> Amount:
    low, high = (interval.low, interval.high) if interval else (None, None)
    return Amount(low=low, high=high, unit=unit, text=amount_text(low, high, symbol))
