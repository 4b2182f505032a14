"""Faults of a dataset, one sentence a line."""

from __future__ import annotations

from compat.model.checks import ChecksReport


def render_text(report: ChecksReport) -> str:
    """The check and the sentence of each fault; one line when all is well."""
    if not report.faults:
        return f"{report.all_well()}\n"
    return "".join(f"{fault.check}: {fault.sentence}\n" for fault in report.faults)
