"""The cables of a plan, each with an identifier: what leaves a module, a control line, a wall control."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from compat.model.needs import Needs
from compat.model.plan import CableRun, CircuitPlace
from compat.model.values import UNKNOWN, Interval
from compat.planning.assignment import Assignment
from compat.planning.candidates import Judgement

MAINS, CONTROL, LOW_VOLTAGE = "mains", "control, insulated for mains", "extra-low voltage"
# Cores beside the protective conductor are not told apart: it goes with every mains cable of class I.
CORES = {"mains": 3, "control": 2, "wall control": 4}  # common practice, no source


def cable_runs(
    judgement: Judgement, assignment: Assignment, circuits: Sequence[CircuitPlace], needs: Needs
) -> list[CableRun]:
    """The cables in the order of circuits, then lines, then wall controls; lengths where they are stated."""
    return [
        *_of_circuits(judgement, circuits),
        *_of_lines(assignment, circuits),
        *_of_wall_controls(assignment, needs),
    ]


def _of_circuits(judgement: Judgement, circuits: Sequence[CircuitPlace]) -> Iterator[CableRun]:
    lengths = {
        circuit.id: judgement.proven.subjects[place].content("circuit.cable_length_m")
        for place, circuit in enumerate(judgement.circuits)
    }
    for one in circuits:
        length = lengths[one.circuit]
        start = "supply" if one.line else f"{one.panel} {one.module}.{one.output_number}".strip()
        yield CableRun(
            cable=f"W-{one.circuit}",
            from_place=start,
            to_place=f"{one.room} {one.circuit}".strip(),
            carries=", ".join(one.luminaires),
            cores=CORES["mains"],
            cross_section_mm2=None,
            length_m=length.high if isinstance(length, Interval) else None,
            segregation=MAINS,
        )


def _of_lines(assignment: Assignment, circuits: Sequence[CircuitPlace]) -> Iterator[CableRun]:
    panels = {
        one.line: f"{one.panel} {one.module}.{one.output_number}".strip() for one in circuits if one.line
    }
    for line in assignment.lines:
        names = ", ".join(circuit.id for circuit in line.circuits)
        yield CableRun(
            cable=f"C-{line.id}",
            from_place=panels.get(line.id, ""),
            to_place=names,
            carries=f"control line {line.id}",
            cores=CORES["control"],
            cross_section_mm2=None,
            length_m=None,
            segregation=LOW_VOLTAGE if line.kind == "dmx_segment" else CONTROL,
        )


def _of_wall_controls(assignment: Assignment, needs: Needs) -> Iterator[CableRun]:
    connection = assignment.kind.traits.get("control_connection", UNKNOWN).content
    if connection != "wired_line":
        return
    for control in needs.wall_controls or []:
        yield CableRun(
            cable=f"K-{control.name}",
            from_place=assignment.hubs[0].panel or assignment.hubs[0].name if assignment.hubs else "",
            to_place=f"{control.room} {control.name}".strip(),
            carries="wall control",
            cores=CORES["wall control"],
            cross_section_mm2=None,
            length_m=None,
            segregation=LOW_VOLTAGE,
        )
