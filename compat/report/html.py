"""The report as one HTML page that needs nothing else: no script, no font, no address."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any

from compat.model.figures import margin_text
from compat.model.report import CircuitReport, Finding, Report, SourceNote
from compat.model.values import BASIS_TEXT
from compat.model.verdicts import MEANING, VERDICTS
from compat.report import words
from compat.report.bar import Shape, shape_of, window_text
from compat.report.labels import BarLabels, labels_of
from compat.report.questions import questions_by_subject

if TYPE_CHECKING:
    from jinja2 import Template


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
    return _template().render(
        report=report,
        circuits=views,
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
    for circuit in report.circuits:
        for finding in circuit.findings:
            for note in finding.sources:
                found.setdefault(note.source, note)
    return [found[source] for source in sorted(found)]


@cache
def _template() -> Template:
    from jinja2 import Environment, PackageLoader, StrictUndefined

    environment = Environment(
        loader=PackageLoader("compat.report", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        finalize=_printable,
    )
    environment.globals.update(
        meaning=MEANING,
        verdicts=VERDICTS,
        basis_text=BASIS_TEXT,
        chosen_text=words.CHOSEN_TEXT,
        no_output=words.NO_OUTPUT,
        margin_text=margin_text,
        window_text=window_text,
        words=words,
    )
    return environment.get_template("report.html.j2")


def _printable(value: Any) -> Any:
    # Control characters are not allowed in HTML, and reordering ones would change what is read.
    # Markup, a subclass of str, has been through here already.
    return words.tied(words.clean(value), "\N{NO-BREAK SPACE}") if type(value) is str else value
