"""Report and look-up as JSON, by the published schemas."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any, TypeVar

from compat.model.lookup import Lookup
from compat.model.record import Record
from compat.model.report import CircuitReport, Finding, LineReport, Report
from compat.model.verdicts import VERDICTS

Subject = TypeVar("Subject", CircuitReport, LineReport)


def render_json(report: Report, details: bool = True) -> str:
    """The report with its keys in the order of the model, by ``report.schema.json``.

    Without ``details`` it leaves out the findings that hold, what a finding rests on, and why each output
    that was not chosen has its verdict: about a tenth of the whole.
    """
    data = (report if details else brief(report)).model_dump(mode="python")
    counts = data["counts"]
    data["counts"] = {verdict: counts[verdict] for verdict in VERDICTS if verdict in counts}
    return _text(data)


def brief(report: Report) -> Report:
    """The report without what only the details show."""
    return replace(
        report,
        circuits=[_brief_circuit(circuit) for circuit in report.circuits],
        lines=[_without_grounds(line) for line in report.lines],
    )


def _brief_circuit(circuit: CircuitReport) -> CircuitReport:
    others = [replace(other, because="") for other in circuit.other_outputs]
    return replace(_without_grounds(circuit), other_outputs=others)


def _without_grounds(subject: Subject) -> Subject:
    kept = [finding for finding in subject.findings if finding.verdict != "works"]
    return replace(subject, findings=[_brief_finding(finding) for finding in kept])


def _brief_finding(finding: Finding) -> Finding:
    return replace(finding, inputs=[], sources=[])


def render_lookup_json(lookup: Lookup) -> str:
    """The look-up with its keys in the order of the model, by ``lookup.schema.json``."""
    return _text(lookup.model_dump(mode="python"))


def render_record_json(record: Record) -> str:
    """Any other answer with its keys in the order of the model."""
    return _text(record.model_dump(mode="python"))


def _text(data: dict[str, Any]) -> str:
    """Indent 2 and a line end at the end; a number that JSON has no word for is an error."""
    return json.dumps(data, indent=2, ensure_ascii=False, allow_nan=False) + "\n"
