"""Faults of a dataset as notes that every machine format tells."""

from __future__ import annotations

from compat.model.checks import ChecksReport
from compat.report.machine_formats import Note

SUITE = "compat dataset check"


def notes_of(report: ChecksReport) -> list[Note]:
    """A note for each fault."""
    return [Note(fault.check, fault.path, fault.line, fault.sentence, fault.what) for fault in report.faults]
