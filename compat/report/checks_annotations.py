"""Faults of a dataset as workflow annotations: one command line a fault, shown beside the file."""

from __future__ import annotations

from compat.model.checks import ChecksReport
from compat.report.checks_notes import SUITE, notes_of
from compat.report.machine_formats import Note, annotations_text


def render_annotations(report: ChecksReport) -> str:
    """``::error file=...,line=...,title=...::sentence``; one notice when all is well."""
    well = Note(SUITE, "", None, "" if report.faults else report.all_well(), level="note")
    return annotations_text(notes_of(report), well)
