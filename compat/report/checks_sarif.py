"""Faults of a dataset in the Static Analysis Results Interchange Format, SARIF 2.1.0 (OASIS).

Source: OASIS standard, Static Analysis Results Interchange Format Version 2.1.0, sections 3.13 (log),
3.14 (run), 3.19 (tool component), 3.27 (result), 3.49 (reporting descriptor).
"""

from __future__ import annotations

import json
from typing import Any
from urllib.parse import quote

from compat.model.checks import ChecksReport, FaultNote

VERSION = "2.1.0"
SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"


def render_sarif(report: ChecksReport) -> str:
    """One run with every check that was made as a rule, sorted by name, and a result for each fault."""
    checked = sorted(report.checked, key=lambda note: note.name)
    places = {note.name: place for place, note in enumerate(checked)}
    rules = [
        {
            "id": note.name,
            "shortDescription": {"text": f"{note.sentence[:1].upper()}{note.sentence[1:]}."},
            "defaultConfiguration": {"level": "error"},
            "properties": {"scope": note.scope},
        }
        for note in checked
    ]
    driver = {"name": "compat", "version": report.program_version, "rules": rules}
    run = {
        "tool": {"driver": driver},
        "columnKind": "unicodeCodePoints",
        "results": [_result(fault, places[fault.check]) for fault in report.faults],
    }
    log = {"$schema": SCHEMA, "version": VERSION, "runs": [run]}
    return json.dumps(log, indent=2, ensure_ascii=False) + "\n"


def _result(fault: FaultNote, place: int) -> dict[str, Any]:
    physical: dict[str, Any] = {"artifactLocation": {"uri": quote(fault.path)}}
    if fault.line is not None:
        physical["region"] = {"startLine": fault.line}
    return {
        "ruleId": fault.check,
        "ruleIndex": place,
        "level": "error",
        "message": {"text": fault.sentence},
        "locations": [{"physicalLocation": physical}],
    }
