"""The report as plain text: what to change, what to ask, what works; with details every finding."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from compat.model.report import CircuitReport, Report
from compat.model.verdicts import VERDICTS
from compat.report.answer import STATE_STYLE, answer_lines, counts_text
from compat.report.blocks import (
    better_output_lines,
    caution_lines,
    circuit_head,
    finding_lines,
    foot_lines,
    question_lines,
)
from compat.report.line_blocks import line_section
from compat.report.lines import STRONG, STYLE, Line, line, listed
from compat.report.page import LEAST_WIDTH, render_lines
from compat.report.words import circuits_text, ranked, split_findings


def render_text(report: Report, width: int, colour: bool, details: bool, ascii_only: bool = False) -> str:
    """The report in lines of at most ``width`` cells, which is taken as 40 when less.

    ``details`` adds a block for each circuit that does not work: its findings with numbers and
    cells, remedies, questions and cautions. Without it the cautions are still told.
    ``ascii_only`` keeps the program's own marks within ASCII; names stay as they are.
    """
    return render_lines(_lines(report, max(width, LEAST_WIDTH), details, ascii_only), width, colour)


def _lines(report: Report, width: int, details: bool, ascii_only: bool) -> Iterator[Line]:
    circuits = ranked(report.circuits)
    yield from _summary(report)
    yield from answer_lines(report)
    if details:
        if report.lines:
            yield line()
            yield from line_section(report, width, details, ascii_only)
        for circuit in circuits:
            if circuit.verdict != "works":
                yield line()
                yield from _block(circuit, report.schedule, ascii_only)
    else:
        yield from _cautions(report, circuits)
    if report.notes:
        yield line()
        yield from listed("Notes on the reading", report.notes, 0)
    yield from foot_lines(report)


def _summary(report: Report) -> Iterator[Line]:
    lines = f", {len(report.lines)} control line{'' if len(report.lines) == 1 else 's'}"
    told = circuits_text(len(report.circuits)) + (lines if report.lines else "")
    yield line((report.schedule, STRONG), f": {told}")
    parts: list[tuple[str, str]] = []
    for state, count in counts_text(report):
        parts += [(", " if parts else "", ""), (f"{count} {state}", STATE_STYLE[state])]
    if parts:
        yield line(*parts, lead="circuits: ")
    counts = Counter(entry.verdict for entry in report.lines)
    told = ", ".join(f"{counts[verdict]} {verdict}" for verdict in reversed(VERDICTS) if counts[verdict])
    if told:
        yield line(told, lead="lines: ")


def _block(circuit: CircuitReport, schedule: str, ascii_only: bool) -> Iterator[Line]:
    yield from circuit_head(circuit, ascii_only)
    yield from caution_lines(circuit.cautions, 2)
    broken, _ = split_findings(circuit.findings)
    for finding in broken:
        yield from finding_lines(finding, schedule, 2)
    yield from listed("What to do", circuit.remedies, 2)
    yield from question_lines(circuit.questions, 2)
    yield from better_output_lines(circuit, 2)


def _cautions(report: Report, circuits: list[CircuitReport]) -> Iterator[Line]:
    """Each caution once, with the circuits and lines that it is about."""
    told: dict[str, list[str]] = {}
    named = [(circuit.circuit, circuit.cautions) for circuit in circuits]
    for name, cautions in [*named, *((f"line {entry.line}", entry.cautions) for entry in report.lines)]:
        for caution in cautions:
            told.setdefault(caution, []).append(name)
    if told:
        yield line()
    for caution, names in told.items():
        yield line(caution, lead=(f"Caution, {', '.join(names)}: ", STYLE["hazard"]))
