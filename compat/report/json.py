"""The report as JSON, by the published schema ``report.schema.json``."""

from __future__ import annotations

import json
import math
from typing import Any

from compat.model.report import Report
from compat.model.verdicts import VERDICTS


def render_json(report: Report) -> str:
    """The report with its keys in the order of the model, indent 2 and a line end at the end.

    A number that is not finite is not known, and written as null: JSON has no other word for it.
    """
    data = report.model_dump(mode="python")
    counts = data["counts"]
    data["counts"] = {verdict: counts[verdict] for verdict in VERDICTS if verdict in counts}
    return json.dumps(_finite(data), indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def _finite(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _finite(member) for key, member in value.items()}
    if isinstance(value, list):
        return [_finite(member) for member in value]
    if isinstance(value, float) and not math.isfinite(value):
        return None
    return value
