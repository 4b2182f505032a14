"""The report as JSON, by the published schema ``report.schema.json``."""

from __future__ import annotations

import json

from compat.model.report import Report
from compat.model.verdicts import VERDICTS


def render_json(report: Report) -> str:
    """The report with its keys in the order of the model, indent 2 and a line end at the end."""
    data = report.model_dump(mode="python")
    counts = data["counts"]
    data["counts"] = {verdict: counts[verdict] for verdict in VERDICTS if verdict in counts}
    return json.dumps(data, indent=2, ensure_ascii=False, allow_nan=False) + "\n"
