"""A row for each circuit and control line: what a table of any format shows of a check."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from compat.model.report import CircuitReport, LineReport, Place, Question, Report
from compat.report.actions import Action, circuit_action, line_action
from compat.report.answer import question_text
from compat.report.words import luminaires_text, output_text

HEADINGS = (
    "kind", "subject", "room", "verdict", "expected", "rule", "why", "change", "ask", "luminaires", "output",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Row:
    """One circuit or line; ``place`` is where the first of its rows was written."""

    kind: str
    subject: str
    room: str
    verdict: str
    expected: str
    rule: str
    why: str
    change: str
    ask: str
    luminaires: str
    output: str
    place: Place | None

    def cells(self) -> tuple[str, ...]:
        """The texts in the order of the headings."""
        return tuple(getattr(self, heading) for heading in HEADINGS)


def check_rows(report: Report) -> Iterator[Row]:
    """The circuits in the order of the schedule, then the lines."""
    yield from map(circuit_row, report.circuits)
    yield from map(line_row, report.lines)


def circuit_row(circuit: CircuitReport) -> Row:
    """The row of a circuit."""
    told = circuit_action(circuit)
    return Row(
        kind="circuit",
        subject=circuit.circuit,
        room=circuit.room,
        verdict=circuit.verdict,
        expected=circuit.expected.verdict if circuit.expected else "",
        rule=told.rule,
        why=told.reason,
        change=_change(told),
        ask=_asked(circuit.questions),
        luminaires=luminaires_text(circuit.luminaires),
        output=output_text(circuit.output),
        place=circuit.luminaires[0].place if circuit.luminaires else None,
    )


def line_row(line: LineReport) -> Row:
    """The row of a line."""
    told = line_action(line)
    return Row(
        kind="line",
        subject=line.line,
        room="",
        verdict=line.verdict,
        expected=line.expected.verdict if line.expected else "",
        rule=told.rule,
        why=told.reason,
        change=_change(told),
        ask=_asked(line.questions),
        luminaires=", ".join(line.circuits),
        output="",
        place=None,
    )


def _change(action: Action) -> str:
    """The change; where the breach can hurt someone, the caution with it."""
    cautions = (f"Caution: {caution}" for caution in action.cautions)
    return " ".join(filter(None, (action.change, *cautions)))


def _asked(questions: list[Question]) -> str:
    return "; ".join(dict.fromkeys(map(question_text, questions)))
