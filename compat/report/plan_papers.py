"""The papers of a plan: each a table made once from the record, whatever format it is written in.

What the columns are after stands in ``AFTER``, beside each paper. A figure that is not known stays empty.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence

from compat.model.figures import number_text
from compat.model.plan import CircuitPlace, Plan
from compat.model.report import Amount
from compat.report.plan_table import Cell, PlanTable, stamp_of
from compat.report.words import method_text

# Name of a paper, its title, and what its columns are after.
AFTER: dict[str, tuple[str, str]] = {
    "circuits": (
        "Circuit chart",
        "BS 7671, 514.9.1, as remembered: what each serves and what protects it",
    ),
    "directory": ("Panel directory", "NEC 408.4(A), as remembered: each purpose told apart from all others"),
    "outputs": ("Output schedule", "common practice, no source"),
    "modules": ("Module and panel schedule", "common practice, no source; rail units of 18 mm"),
    "dali": ("DALI addresses", "IEC 62386-102, second hand: 64 short addresses and 16 groups a line"),
    "dmx": ("DMX patch", "ANSI E1.11: 512 slots a universe"),
    "controls": ("Wall controls", "common practice, no source"),
    "sequences": (
        "Sequences of operation",
        "ANSI/IES LP-16, second hand: intent and sequence of each control",
    ),
    "cables": (
        "Cable schedule",
        "common practice, no source; the cross-section is the electrician's to settle",
    ),
    "left out": ("Without a place", "to be settled before anything is bought"),
}
# A purpose that names somebody ends with the next owner; NEC 408.4(A) as remembered.
OF_SOMEBODY = re.compile(r"\w['’]s\b|s['’] ")
WIRING = {
    "forward_phase": "Leading edge: line and neutral to the dimmer; dimmed line and neutral to the lamps.",
    "reverse_phase": "Trailing edge: line and neutral to the dimmer; dimmed line and neutral to the lamps.",
    "switched": "Switched: only the line goes through the contact, never the protective conductor.",
    "analog_0_10v": "0-10 V: switched mains and a control pair to each driver; mind its polarity.",
    "dali": "DALI: permanent mains and a control pair to each driver, insulated for mains; no ring.",
    "dmx": "DMX: data cable from luminaire to luminaire, no branches, a terminator of 120 ohm at its end.",
}


def papers_of(plan: Plan) -> dict[str, PlanTable]:
    """The papers that have rows, by name and in the order in which they are bound."""
    made: dict[str, tuple[tuple[str, ...], list[tuple[Cell, ...]], list[str]]] = {
        "circuits": _circuits(plan),
        "directory": _directory(plan),
        "outputs": _outputs(plan),
        "modules": _modules(plan),
        "dali": _dali(plan),
        "dmx": _dmx(plan),
        "controls": _controls(plan),
        "sequences": _sequences(plan),
        "cables": _cables(plan),
        "left out": _left_out(plan),
    }
    return {
        name: PlanTable(
            title=AFTER[name][0],
            schedule=plan.schedule,
            headings=headings,
            rows=rows,
            summary=[f"Columns after: {AFTER[name][1]}.", *told],
            left_out=[],
            notes=[],
            stamp=stamp_of(plan),
        )
        for name, (headings, rows, told) in made.items()
        if rows
    }


def wiring_notes(plan: Plan) -> list[str]:
    """How each method that the plan uses is wired, in a sentence each."""
    used = {method_text(one.method) for one in plan.circuits}
    return [told for method, told in WIRING.items() if method_text(method) in used]


def client_summary(plan: Plan) -> list[str]:
    """Which kind of system and why, what it cannot do and what later changes take, in plain words."""
    chosen = plan.fits[0]
    told = [f"{plan.system_name}: {chosen.summary}" if chosen.summary else f"{plan.system_name}."]
    told += [f"What it does not do: {'; '.join(chosen.lost)}."] if chosen.lost else []
    told += [chosen.later_changes] if chosen.later_changes else []
    if plan.left_out:
        told.append(f"Not settled yet: {', '.join(one.circuit for one in plan.left_out)}.")
    return told


Paper = tuple[tuple[str, ...], list[tuple[Cell, ...]], list[str]]


def _circuits(plan: Plan) -> Paper:
    headings = (
        "Circuit",
        "Room",
        "Luminaires",
        "Points",
        "Method",
        "Output",
        "Load",
        "Cable",
        "Protective device",
        "RCD",
    )
    cables = {one.cable: _cable_text(one.cores, one.cross_section_mm2) for one in plan.cables}
    rows: list[tuple[Cell, ...]] = [
        (
            one.circuit,
            one.room,
            ", ".join(one.luminaires),
            one.points,
            method_text(one.method),
            f"{one.panel} {one.module}.{one.output_number}".strip(),
            _text(one.load),
            f"W-{one.circuit} {cables.get(f'W-{one.circuit}', '')}".strip(),
            one.protective_device,
            one.rcd,
        )
        for one in plan.circuits
    ]
    return headings, rows, wiring_notes(plan)


def _directory(plan: Plan) -> Paper:
    """Each output of each panel with its purpose; spares are described."""
    by_output = {(one.module, one.output_number): one for one in plan.circuits}
    rows: list[tuple[Cell, ...]] = []
    for module in plan.modules:
        for number in range(1, module.outputs + 1):
            on = by_output.get((module.module, number))
            purpose = "Spare" if on is None else f"Line {on.line}" if on.line else purpose_of(on)
            rows.append((module.panel, module.module, number, purpose))
    return ("Panel", "Module", "Output", "Serves"), rows, directory_faults(plan)


def purpose_of(circuit: CircuitPlace) -> str:
    """What a circuit serves, in words that stay true whoever lives there."""
    return f"{circuit.room} lighting: {', '.join(circuit.luminaires)}".strip()


def directory_faults(plan: Plan) -> list[str]:
    """Purposes that are not told apart from others, or that hang on who lives there."""
    purposes: dict[tuple[str, str], list[str]] = {}
    for one in plan.circuits:
        if not one.line:
            purposes.setdefault((one.panel, purpose_of(one).casefold()), []).append(one.circuit)
    alike = [
        f"Not told apart: {', '.join(names)}; name what differs."
        for names in purposes.values()
        if len(names) > 1
    ]
    somebody = [one.circuit for one in plan.circuits if OF_SOMEBODY.search(one.room)]
    return alike + ([f"Named after somebody: {', '.join(somebody)}; name the room."] if somebody else [])


def _outputs(plan: Plan) -> Paper:
    headings = (
        "Module",
        "Output",
        "Panel",
        "Phase",
        "Circuit",
        "Room",
        "Kind of output",
        "Load",
        "Current",
        "Least load",
        "Greatest load",
        "Verdict",
    )
    rows: list[tuple[Cell, ...]] = [
        (
            one.module,
            one.output_number,
            one.panel,
            one.phase,
            one.circuit,
            one.room,
            f"{one.output_name} ({one.output})",
            _text(one.load),
            _text(one.current),
            _watts(one.window_low_w),
            _watts(one.window_high_w),
            f"expected: {one.expected}" if one.expected else one.verdict,
        )
        for one in sorted(plan.circuits, key=_place_in_panel(plan))
    ]
    return headings, rows, []


def _place_in_panel(plan: Plan) -> Callable[[CircuitPlace], tuple[int, int, str]]:
    """The order of modules as they stand in the panels, M2 before M10."""
    places = {one.module: place for place, one in enumerate(plan.modules)}
    return lambda one: (places.get(one.module, len(places)), one.output_number, one.circuit)


def _modules(plan: Plan) -> Paper:
    headings = (
        "Panel",
        "Module",
        "What it is",
        "Phase",
        "Rail units",
        "Outputs",
        "Used",
        "Load",
        "Current",
        "Heat",
    )
    rows: list[tuple[Cell, ...]] = [
        (
            one.panel,
            one.module,
            one.name,
            one.phase,
            number_text(one.rail_units),
            one.outputs,
            one.used,
            _text(one.load),
            _text(one.current),
            _text(one.heat),
        )
        for one in plan.modules
    ]
    told = [f"Phase {one.phase}: {_text(one.current)}." for one in plan.phases if one.phase]
    for panel in plan.panels:
        free = "" if panel.rail_units_free is None else f", {number_text(panel.rail_units_free)} free"
        units = number_text(panel.rail_units)
        told.append(f"{panel.panel}: {units} rail units{free}; heat at full load {_text(panel.heat)}.")
    return headings, rows, told


def _dali(plan: Plan) -> Paper:
    """Addresses with the scene levels that are wanted; what is set on site stays empty."""
    scenes = plan.needs.scenes or []
    headings = (
        "Line",
        "Short address",
        "Group",
        "Circuit",
        "Room",
        "Luminaire type",
        "Number",
        "Logical unit",
        *(f"Scene {place}: {scene.name} (%)" for place, scene in enumerate(scenes)),
        "Least level",
        "Greatest level",
        "Power-on level",
        "Failure level",
        "Fade time",
    )
    rows = [
        (
            one.line,
            one.short_address,
            "" if one.group is None else one.group,
            one.circuit,
            one.room,
            one.luminaire_type,
            one.number,
            one.unit,
            *(_level(scene.levels.get(one.circuit)) for scene in scenes),
            "",
            "",
            "",
            "",
            "",
        )
        for one in plan.dali
    ]
    return headings, rows, ["Levels and times that are empty are set on site and written in here."]


def _dmx(plan: Plan) -> Paper:
    headings = (
        "Line",
        "Universe",
        "Start address",
        "End address",
        "Slots",
        "Circuit",
        "Room",
        "Luminaire type",
        "Number",
    )
    rows: list[tuple[Cell, ...]] = [
        (
            one.line,
            one.universe,
            one.start_address,
            one.end_address,
            one.footprint,
            one.circuit,
            one.room,
            one.luminaire_type,
            one.number,
        )
        for one in plan.dmx
    ]
    return headings, rows, []


def _controls(plan: Plan) -> Paper:
    headings = ("Room", "Wall control", "Position", "Button", "Engraving", "Press", "Double press", "Hold")
    rows: list[tuple[Cell, ...]] = [
        (
            control.room,
            control.name,
            control.position,
            number,
            button.engraving,
            button.press,
            button.double,
            button.hold,
        )
        for control in plan.needs.wall_controls or []
        for number, button in enumerate(control.buttons, 1)
    ]
    return headings, rows, []


def _sequences(plan: Plan) -> Paper:
    return ("Space", "Control", "Strategy", "When", "What happens", "Levels", "Fade"), list(_acts(plan)), []


def _acts(plan: Plan) -> Iterator[tuple[Cell, ...]]:
    needs = plan.needs
    for control in needs.wall_controls or []:
        for number, button in enumerate(control.buttons, 1):
            told = {"pressed": button.press, "pressed twice": button.double, "held": button.hold}
            for how, does in told.items():
                if does:
                    name = button.engraving or str(number)
                    yield control.room, control.name, "manual", f"button {name} {how}", does, "", ""
    for sensor in needs.sensors or []:
        yield sensor.room, f"{sensor.kind} sensor".strip(), "sensor", "", sensor.does, "", ""
    for clock in needs.clocks or []:
        yield "", clock.name, "clock", f"{clock.when} by the {clock.by}".strip(), clock.does, "", ""
    for scene in needs.scenes or []:
        levels = ", ".join(f"{circuit} {_level(level)} %" for circuit, level in scene.levels.items())
        fade = "" if scene.fade_s is None else f"{number_text(scene.fade_s)} s"
        yield "", scene.name, "scene", "recalled", "the circuits go to these levels", levels, fade
    for condition in needs.conditions or []:
        yield "", "", "condition", condition, "", "", ""


def _cables(plan: Plan) -> Paper:
    headings = ("Cable", "From", "To", "Carries", "Cores x mm²", "Length", "Segregation")
    rows: list[tuple[Cell, ...]] = [
        (
            one.cable,
            one.from_place,
            one.to_place,
            one.carries,
            _cable_text(one.cores, one.cross_section_mm2),
            "" if one.length_m is None else f"{number_text(one.length_m)} m",
            one.segregation,
        )
        for one in plan.cables
    ]
    return headings, rows, ["Each cable carries its identifier at both ends."]


def _left_out(plan: Plan) -> Paper:
    rows: list[tuple[Cell, ...]] = [
        (one.circuit, one.room, ", ".join(one.luminaires), one.reason) for one in plan.left_out
    ]
    rows += [
        (one.circuit, one.room, f"{one.quantity} × {one.luminaire_type}", one.reason)
        for one in plan.not_planned
    ]
    return ("Circuit", "Room", "Luminaires", "Why it has no place"), rows, []


def _text(amount: Amount) -> str:
    return amount.text if amount.low is not None or amount.high is not None else ""


def _watts(value: float | None) -> str:
    return "" if value is None else f"{number_text(value)} W"


def _level(value: float | None) -> str:
    return "" if value is None else number_text(value)


def _cable_text(cores: int | None, square: float | None) -> str:
    parts: Sequence[str] = [str(cores) if cores else "", f"{number_text(square)} mm²" if square else ""]
    return " x ".join(filter(None, parts))
