"""Faults of a dataset as JSON, by ``schemas/checks.schema.json``."""

from __future__ import annotations

import json

from compat.model.checks import ChecksReport


def render_json(report: ChecksReport) -> str:
    """The report with its keys in the order of the model."""
    return json.dumps(report.model_dump(mode="json"), indent=2, ensure_ascii=False) + "\n"
