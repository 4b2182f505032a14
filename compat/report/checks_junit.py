"""Faults of a dataset as JUnit XML, the form in which build servers take the results of tests."""

from __future__ import annotations

from compat.model.checks import ChecksReport
from compat.report.checks_notes import SUITE, notes_of
from compat.report.machine_formats import Note, TestCase, junit_text


def render_junit(report: ChecksReport) -> str:
    """A failed test case for each fault; one that passes when there is nothing to report."""
    cases = [TestCase(note.rule, _place(note), note) for note in notes_of(report)]
    return junit_text(SUITE, cases or [TestCase("dataset", report.all_well())])


def _place(note: Note) -> str:
    return f"{note.path}:{note.line}" if note.line is not None else note.path
