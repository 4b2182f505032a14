"""The report as one HTML page that needs nothing else: no font, no address, and no script to be read."""

from __future__ import annotations

import base64
import hashlib
from dataclasses import dataclass
from importlib.resources import files

from compat.model.reading import LOST
from compat.model.report import CircuitReport, Finding, Input, Report, SourceNote
from compat.report import actions, answer, states, words
from compat.report.bar import Shape, shape_of
from compat.report.inrush_curve import InrushCurve, inrush_curve
from compat.report.labels import BarLabels, labels_of
from compat.report.line_html import line_views
from compat.report.one_line import OneLine, one_line
from compat.report.output_map import output_map
from compat.report.states import State
from compat.report.template import template


@dataclass(frozen=True, slots=True)
class CircuitView:
    """A circuit with what the page shows of it; ``anchor`` is safe whatever the circuit's name."""

    circuit: CircuitReport
    anchor: str
    action: actions.Action
    broken: list[Finding]
    holding: str
    shape: Shape | None
    labels: BarLabels | None
    changes: list[str]
    diagram: OneLine
    curve: InrushCurve | None

    @property
    def state(self) -> State:
        """The state of the circuit."""
        return self.action.state

    @property
    def is_brief(self) -> bool:
        """Whether there is nothing to do about it."""
        return self.state in states.FINE


def render_html(report: Report) -> str:
    """The page as text in UTF-8; the same bytes for the same report."""
    views = [_view(circuit, number, report) for number, circuit in enumerate(report.circuits, 1)]
    anchors = {view.circuit.circuit: view.anchor for view in views}
    lines = line_views(report, anchors)
    script = (files("compat.report") / "templates" / "report.js").read_text(encoding="utf-8")
    return template("report.html.j2").render(
        report=report,
        lost=[note for note in report.notes if note.startswith(LOST)],
        circuits=views,
        lines=lines,
        anchors=anchors | {view.line.line: view.anchor for view in lines},
        to_change=actions.actions_of(report, states.TO_CHANGE),
        in_doubt=actions.actions_of(report, states.IN_DOUBT),
        map=output_map(report, anchors),
        counts=states.counts_text(report),
        line_counts=states.line_counts(report),
        colour=states.COLOUR,
        state_names=states.STATES,
        question_text=answer.question_text,
        about_text=answer.about_text,
        short_name=actions.short_name,
        rooms=sorted({circuit.room for circuit in report.circuits if circuit.room}),
        rules=sorted({finding.rule for view in views for finding in view.broken}),
        inputs_of=inputs_of,
        sources=_sources(report),
        script=script,
        script_hash=base64.b64encode(hashlib.sha256(script.encode()).digest()).decode(),
    )


def inputs_of(finding: Finding) -> list[Input]:
    """What a finding rests on, each value once."""
    return list({(value.label, value.text): value for value in finding.inputs}.values())


def _view(circuit: CircuitReport, number: int, report: Report) -> CircuitView:
    broken, holding = words.split_findings(circuit.findings)
    shape = shape_of(circuit.bar)
    action = actions.circuit_action(circuit)
    return CircuitView(
        circuit=circuit,
        anchor=f"c{number}",
        action=action,
        broken=broken,
        holding=", ".join(finding.rule for finding in holding),
        shape=shape,
        labels=labels_of(circuit.bar, shape) if circuit.bar and shape else None,
        changes=[actions.outcome_text(circuit, change) for change in circuit.changes]
        or ([action.change] if action.change else []),
        diagram=one_line(circuit, report),
        curve=inrush_curve(circuit, report),
    )


def _sources(report: Report) -> list[SourceNote]:
    """Each source once, by its id; its clause stands at the finding that uses it."""
    found: dict[str, SourceNote] = {}
    of_circuits = (finding for circuit in report.circuits for finding in circuit.findings)
    of_lines = (finding for line in report.lines for finding in line.findings)
    for finding in (*of_circuits, *of_lines):
        if finding.verdict != "works":
            for note in finding.sources:
                found.setdefault(note.source, note)
    return [found[source] for source in sorted(found)]
