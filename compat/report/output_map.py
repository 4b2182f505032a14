"""A map of circuits against the outputs on offer: a letter and a colour for each verdict."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from compat.model.report import CircuitReport, OutputReport, Report
from compat.report.states import LETTER, STATES, State, state_by, state_of


@dataclass(frozen=True, slots=True)
class Cell:
    """One circuit on one output; ``chosen`` is the one it is on."""

    letter: str
    chosen: bool


@dataclass(frozen=True, slots=True)
class MapRow:
    """A circuit with its cells in the order of the outputs; None where it was not judged."""

    name: str
    room: str
    anchor: str
    state: State
    cells: tuple[Cell | None, ...]


@dataclass(frozen=True, slots=True)
class OutputMap:
    """Outputs by id and name, a row for each circuit, and what the letters mean."""

    outputs: tuple[tuple[str, str], ...]
    rows: tuple[MapRow, ...]
    legend: tuple[tuple[str, State], ...]


def output_map(report: Report, anchors: Mapping[str, str]) -> OutputMap:
    """The map of a report; outputs in the order of their ids."""
    names: dict[str, str] = {}
    for circuit in report.circuits:
        for output in _outputs(circuit):
            names[output.output] = output.name
    order = sorted(names)
    rows = tuple(_row(circuit, order, anchors.get(circuit.circuit, "")) for circuit in report.circuits)
    legend = tuple((LETTER[state], state) for state in STATES)
    return OutputMap(tuple((name, names[name]) for name in order), rows, legend)


def _outputs(circuit: CircuitReport) -> list[OutputReport]:
    return [*([circuit.output] if circuit.output else []), *circuit.other_outputs]


def _row(circuit: CircuitReport, order: list[str], anchor: str) -> MapRow:
    cells = {other.output: Cell(_letter(other), False) for other in circuit.other_outputs}
    if circuit.output:
        cells[circuit.output.output] = Cell(LETTER[state_of(circuit)], True)
    told = tuple(cells.get(name) for name in order)
    return MapRow(circuit.circuit, circuit.room, anchor, state_of(circuit), told)


def _letter(output: OutputReport) -> str:
    return LETTER[state_by(output.verdict, output.expected)]
