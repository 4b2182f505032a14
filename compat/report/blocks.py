"""What plain text says about one finding and one circuit; the report and ``explain`` share it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from compat.model.figures import margin_text
from compat.model.lookup import Lookup, OutputLookup
from compat.model.report import CircuitReport, Finding, OutputReport, Question, Report
from compat.model.values import BASIS_TEXT
from compat.report.actions import needed_text, outcome_text
from compat.report.bar import bar_text, shape_of, window_text
from compat.report.lines import SOFT, STRONG, STYLE, Line, line, listed, verdict_part
from compat.report.words import (
    CHOSEN_TEXT,
    NO_OUTPUT,
    better_outputs,
    driver_text,
    limit_text,
    luminaires_text,
    method_text,
    origin_text,
    place_text,
    source_text,
    stamp_text,
    verdict_word,
)

BAR_CELLS = 24
MOST_OTHERS = 6
SHORT_HASH = 16


def circuit_head(circuit: CircuitReport, ascii_only: bool) -> Iterator[Line]:
    """The verdict with the circuit's name, its luminaires, its output and its load."""
    room = f"  {circuit.room}" if circuit.room else ""
    yield line(verdict_part(circuit.verdict), "  ", (circuit.circuit, STRONG), room)
    yield line(luminaires_text(circuit.luminaires) or "none", indent=2, lead="luminaires: ")
    output = circuit.output
    if output is None:
        yield line(NO_OUTPUT, indent=2)
    else:
        how = f"{method_text(output.method)}; {CHOSEN_TEXT[circuit.chosen_by]}"
        yield line(f"{output.output} {output.name} ({how})", indent=2, lead="output: ")
    if circuit.bar:
        shape = shape_of(circuit.bar)
        bar = f"  {bar_text(shape, BAR_CELLS, ascii_only)}" if shape else ""
        said = f"{circuit.bar.load.text}; {window_text(circuit.bar)}"
        yield line(said, bar, indent=2, lead="load: ")


def finding_lines(finding: Finding, schedule: str, indent: int) -> Iterator[Line]:
    """One finding: rule, reason, demand against limit with the margin, and where values stand."""
    heading = f"  {finding.rule} {finding.slug}: {finding.title}"
    yield line(heading, indent=indent, lead=verdict_part(finding.verdict))
    yield line(finding.because, indent=indent + 2)
    yield from _measure(finding, indent + 2)
    for value in finding.inputs:
        origin = origin_text(value, schedule)
        said = f"{value.label}: {value.text}"
        yield line(said, (f" [{origin}]" if origin else "", SOFT), indent=indent + 2, lead="from ")


def finding_chain(finding: Finding, schedule: str, indent: int) -> Iterator[Line]:
    """A finding with all it rests on: its sources too, and if it is broken remedies and caution."""
    yield from finding_lines(finding, schedule, indent)
    for note in finding.sources:
        yield line(source_text(note), indent=indent + 2, lead="source ")
    if finding.verdict == "works":
        return
    yield from listed("What to do", finding.remedies, indent + 2)
    if finding.caution:
        yield line(finding.caution, indent=indent + 2, lead=("Caution: ", STYLE["hazard"]))


def question_lines(questions: list[Question], indent: int) -> Iterator[Line]:
    """The questions of a circuit, each with whom it is about and where the answer is found."""
    if questions:
        yield line(("What to ask", STRONG), indent=indent)
    for question in questions:
        about = f"{', '.join(question.about)}: " if question.about else ""
        yield line(f"{about}{question_text(question)}", indent=indent + 2, lead="- ")


def question_text(question: Question) -> str:
    """A question with where the answer is found and what it could lead to."""
    told = [f"Look in: {question.where_to_find}."] if question.where_to_find else []
    told.append(f"At worst: {verdict_word(question.could_become)} ({', '.join(question.rules)}).")
    return f"{question.ask} {' '.join(told)}"


def change_lines(circuit: CircuitReport, indent: int) -> Iterator[Line]:
    """The judged changes of a circuit, each with what comes of it; or what would be needed instead."""
    told = [outcome_text(circuit, change) for change in circuit.changes]
    if not told and circuit.verdict in ("hazard", "fails"):
        told = [needed_text(circuit)]
    yield from listed("What to change", told, indent)


def caution_lines(cautions: list[str], indent: int) -> Iterator[Line]:
    """The cautions of a circuit, each opened by the word."""
    for caution in cautions:
        yield line(caution, indent=indent, lead=("Caution: ", STYLE["hazard"]))


def luminaire_lines(circuit: CircuitReport, schedule: str, indent: int) -> Iterator[Line]:
    """Each row of the schedule in the circuit, with its driver and cell."""
    for row in circuit.luminaires:
        place = place_text(row.place, schedule)
        kind = f"{row.luminaire_type}: " if row.luminaire_type else ""
        said = f"{row.quantity} x {kind}{driver_text(row)}"
        yield line(said, (f" [{place}]" if place else "", SOFT), indent=indent, lead="- ")


def other_output_lines(circuit: CircuitReport, indent: int) -> Iterator[Line]:
    """All other outputs on offer, each with its verdict and the rule that decided."""
    yield from _output_lines(circuit.other_outputs, indent)


def better_output_lines(circuit: CircuitReport, indent: int) -> Iterator[Line]:
    """The other outputs that do better than the one chosen, the best six; or that none does."""
    better = better_outputs(circuit)
    yield from _output_lines(better[:MOST_OTHERS], indent)
    if len(better) > MOST_OTHERS:
        yield line(f"and {len(better) - MOST_OTHERS} more", indent=indent + 2)
    if not better:
        yield line("no other output on offer does better", indent=indent, lead=("Other outputs: ", STRONG))


def _output_lines(outputs: Sequence[OutputReport], indent: int) -> Iterator[Line]:
    if outputs:
        yield line(("Other outputs", STRONG), indent=indent)
    for output in outputs:
        said = f"  {output.output} {output.name} ({method_text(output.method)})"
        because = ": " + " ".join(filter(None, (output.rule, output.because)))
        decided = because if output.rule or output.because else ""
        yield line(verdict_part(output.verdict), said, decided, indent=indent + 2, lead="- ")


def foot_lines(report: Report | Lookup | OutputLookup, details: bool = True) -> Iterator[Line]:
    """The standing caution, and which program and dataset gave the verdicts; in full with details."""
    if details:
        yield line()
    yield line(report.caution, lead=("Caution: ", STRONG))
    sha256 = report.dataset.sha256
    if details:
        yield line((stamp_text(report), SOFT))
        yield line((f"sha256 {sha256}", SOFT))
    else:
        yield line((f"{stamp_text(report)}, sha256 {sha256[:SHORT_HASH]}", SOFT))


def supply_lines(report: Report, indent: int) -> Iterator[Line]:
    """The supply that all circuits share."""
    for value in report.supply:
        basis = f" [{BASIS_TEXT[value.basis]}]" if value.basis else ""
        yield line(f"{value.label}: {value.text}", (basis, SOFT), indent=indent)


def _measure(finding: Finding, indent: int) -> Iterator[Line]:
    said = []
    if finding.demand is not None:
        said.append(f"demand {finding.demand.text}")
    if finding.limit is not None:
        said.append(f"limit {limit_text(finding)}")
    if margin := margin_text(finding.margin_percent, finding.relation):
        said.append(f"margin {margin}")
    if said:
        yield line("; ".join(said), indent=indent)
