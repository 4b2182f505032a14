"""The full chain for one circuit: every finding with every value, its cell, basis and source."""

from __future__ import annotations

from collections.abc import Iterator

from compat.model.report import CircuitReport, Report
from compat.report.blocks import (
    caution_lines,
    circuit_head,
    finding_chain,
    foot_lines,
    luminaire_lines,
    other_output_lines,
    question_lines,
    supply_lines,
)
from compat.report.lines import STRONG, Line, line, listed
from compat.report.page import render_lines
from compat.report.words import decision, split_findings


def render_circuit_text(
    report: Report, circuit: CircuitReport, width: int, colour: bool, ascii_only: bool = False
) -> str:
    """All that the verdict of one circuit rests on, in lines of at most ``width`` cells (40 up)."""
    return render_lines(_lines(report, circuit, ascii_only), width, colour)


def _lines(report: Report, circuit: CircuitReport, ascii_only: bool) -> Iterator[Line]:
    yield from circuit_head(circuit, ascii_only)
    found = decision(circuit)
    if found.because:
        lead = f"{found.rule}: " if found.rule else ""
        yield line(f"{lead}{found.because}", indent=2, lead="why: ")
    yield line(circuit.wanted_control or "not stated", indent=2, lead="control wanted: ")
    yield from caution_lines(circuit.cautions, 2)
    yield line()
    yield line(("Luminaires", STRONG))
    yield from luminaire_lines(circuit, report.schedule, 2)
    if report.supply:
        yield line()
        yield line(("Supply", STRONG))
        yield from supply_lines(report, 2)
    broken, holding = split_findings(circuit.findings)
    for finding in [*broken, *holding]:
        yield line()
        yield from finding_chain(finding, report.schedule, 0)
    yield from _what_next(circuit)
    yield from foot_lines(report)


def _what_next(circuit: CircuitReport) -> Iterator[Line]:
    broken, _ = split_findings(circuit.findings)
    told = {remedy for finding in broken for remedy in finding.remedies}
    further = [remedy for remedy in circuit.remedies if remedy not in told]
    sections = (
        list(listed("What else to do", further, 0)),
        list(question_lines(circuit.questions, 0)),
        list(other_output_lines(circuit, 0)),
    )
    for section in filter(None, sections):
        yield line()
        yield from section
