"""Faults of a dataset as workflow annotations: one command line a fault, shown beside the file."""

from __future__ import annotations

from compat.model.checks import ChecksReport, FaultNote


def render_annotations(report: ChecksReport) -> str:
    """``::error file=...,line=...,title=...::sentence``; one notice when all is well."""
    if not report.faults:
        return f"::notice title=compat dataset check::{report.all_well()}\n"
    return "".join(map(_line, report.faults))


def _line(fault: FaultNote) -> str:
    where = [f"file={_value(fault.path)}"]
    if fault.line is not None:
        where.append(f"line={fault.line}")
    where.append(f"title={_value(fault.check)}")
    return f"::error {','.join(where)}::{_message(fault.sentence)}\n"


def _message(text: str) -> str:
    return text.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")


def _value(text: str) -> str:
    return _message(text).replace(":", "%3A").replace(",", "%2C")
