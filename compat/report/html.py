"""The report as one HTML page that needs nothing else: no script, no font, no address."""

from __future__ import annotations

from dataclasses import dataclass

from compat.model.report import CircuitReport, Finding, Report, SourceNote
from compat.model.verdicts import VERDICTS
from compat.report import words
from compat.report.bar import Shape, shape_of
from compat.report.labels import BarLabels, labels_of
from compat.report.line_html import line_views
from compat.report.questions import questions_by_subject
from compat.report.template import template


@dataclass(frozen=True, slots=True)
class CircuitView:
    """A circuit with what the page shows of it; ``anchor`` is safe whatever the circuit's name."""

    circuit: CircuitReport
    anchor: str
    decision: words.Decision
    broken: list[Finding]
    holding: list[Finding]
    shape: Shape | None
    labels: BarLabels | None


def render_html(report: Report) -> str:
    """The page as text in UTF-8; the same bytes for the same report."""
    views = [_view(circuit, number) for number, circuit in enumerate(report.circuits, 1)]
    anchors = {id(view.circuit): view.anchor for view in views}
    return template("report.html.j2").render(
        report=report,
        circuits=views,
        lines=line_views(report, {view.circuit.circuit: view.anchor for view in views}),
        ranked=sorted(
            (view for view in views if view.circuit.verdict != "works"),
            key=lambda view: -VERDICTS.index(view.circuit.verdict),
        ),
        questions=questions_by_subject(report),
        anchor_of=lambda circuit: anchors[id(circuit)],
        sources=_sources(report),
        counts=words.counts_of(report),
    )


def _view(circuit: CircuitReport, number: int) -> CircuitView:
    broken, holding = words.split_findings(circuit.findings)
    shape = shape_of(circuit.bar)
    labels = labels_of(circuit.bar, shape) if circuit.bar and shape else None
    found = words.decision(circuit)
    return CircuitView(circuit, f"c{number}", found, broken, holding, shape, labels)


def _sources(report: Report) -> list[SourceNote]:
    """Each source once, by its id; its clause stands at the finding that uses it."""
    found: dict[str, SourceNote] = {}
    of_circuits = (finding for circuit in report.circuits for finding in circuit.findings)
    of_lines = (finding for line in report.lines for finding in line.findings)
    for finding in (*of_circuits, *of_lines):
        for note in finding.sources:
            found.setdefault(note.source, note)
    return [found[source] for source in sorted(found)]
