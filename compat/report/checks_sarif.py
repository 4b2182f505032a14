"""Faults of a dataset as SARIF 2.1.0 (OASIS), the form in which review tools take annotations."""

from __future__ import annotations

from compat.model.checks import ChecksReport
from compat.report.checks_notes import notes_of
from compat.report.machine_formats import sarif_text


def render_sarif(report: ChecksReport) -> str:
    """One run with every check that was made as a rule, sorted by name, and a result for each fault."""
    rules = [
        {
            "id": note.name,
            "shortDescription": {"text": f"{note.sentence[:1].upper()}{note.sentence[1:]}."},
            "defaultConfiguration": {"level": "error"},
            "properties": {"scope": note.scope},
        }
        for note in sorted(report.checked, key=lambda note: note.name)
    ]
    return sarif_text(report.program_version, rules, notes_of(report))
