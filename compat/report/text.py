"""The report as plain text: what to change, what to ask, what works; with details every finding."""

from __future__ import annotations

from collections.abc import Iterator

from compat.model.reading import LOST
from compat.model.report import CircuitReport, Report
from compat.report.answer import answer_lines, state_style
from compat.report.blocks import (
    better_output_lines,
    caution_lines,
    change_lines,
    circuit_head,
    finding_lines,
    foot_lines,
    question_lines,
)
from compat.report.line_blocks import line_section
from compat.report.lines import STRONG, Line, line, listed
from compat.report.page import LEAST_WIDTH, render_lines
from compat.report.states import State, counts_text, line_counts
from compat.report.words import circuits_text, ranked, split_findings


def render_text(report: Report, width: int, colour: bool, details: bool, ascii_only: bool = False) -> str:
    """The report in lines of at most ``width`` cells, which is taken as 40 when less.

    ``details`` adds a block for each circuit that does not work: its findings with numbers and
    cells, remedies, questions and cautions.
    ``ascii_only`` keeps the program's own marks within ASCII; names stay as they are.
    """
    return render_lines(_lines(report, max(width, LEAST_WIDTH), details, ascii_only), width, colour)


def _lines(report: Report, width: int, details: bool, ascii_only: bool) -> Iterator[Line]:
    circuits = ranked(report.circuits)
    lost = [note for note in report.notes if note.startswith(LOST)]
    yield from (line((note, STRONG)) for note in lost)
    yield from _summary(report)
    yield from answer_lines(report, details)
    if details:
        if report.lines:
            yield line()
            yield from line_section(report, width, details, ascii_only)
        for circuit in circuits:
            if circuit.verdict != "works":
                yield line()
                yield from _block(circuit, report.schedule, ascii_only)
    for note in (note for note in report.notes if note not in lost):
        yield line(note, lead=("Note: ", STRONG))
    yield from foot_lines(report, details)


def _summary(report: Report) -> Iterator[Line]:
    lines = f", {len(report.lines)} control line{'' if len(report.lines) == 1 else 's'}"
    told = circuits_text(len(report.circuits)) + (lines if report.lines else "")
    yield line((report.schedule, STRONG), f": {told}")
    yield from _counts("circuits: ", counts_text(report))
    yield from _counts("lines: ", line_counts(report))


def _counts(lead: str, counts: list[tuple[State, int]]) -> Iterator[Line]:
    parts: list[tuple[str, str]] = []
    for state, count in counts:
        parts += [(", " if parts else "", ""), (f"{count} {state}", state_style(state))]
    if parts:
        yield line(*parts, lead=lead)


def _block(circuit: CircuitReport, schedule: str, ascii_only: bool) -> Iterator[Line]:
    yield from circuit_head(circuit, ascii_only)
    yield from caution_lines(circuit.cautions, 2)
    broken, _ = split_findings(circuit.findings)
    for finding in broken:
        yield from finding_lines(finding, schedule, 2)
    yield from change_lines(circuit, 2)
    if not circuit.changes:
        yield from listed("What to do", circuit.remedies, 2)
    yield from question_lines(circuit.questions, 2)
    yield from better_output_lines(circuit, 2)
