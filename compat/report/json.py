"""Report and look-up as JSON, by the published schemas."""

from __future__ import annotations

import json
from typing import Any

from compat.model.lookup import Lookup
from compat.model.record import Record
from compat.model.report import Report
from compat.model.verdicts import VERDICTS


def render_json(report: Report) -> str:
    """The report with its keys in the order of the model, by ``report.schema.json``."""
    data = report.model_dump(mode="python")
    counts = data["counts"]
    data["counts"] = {verdict: counts[verdict] for verdict in VERDICTS if verdict in counts}
    return _text(data)


def render_lookup_json(lookup: Lookup) -> str:
    """The look-up with its keys in the order of the model, by ``lookup.schema.json``."""
    return _text(lookup.model_dump(mode="python"))


def render_record_json(record: Record) -> str:
    """Any other answer with its keys in the order of the model."""
    return _text(record.model_dump(mode="python"))


def _text(data: dict[str, Any]) -> str:
    """Indent 2 and a line end at the end; a number that JSON has no word for is an error."""
    return json.dumps(data, indent=2, ensure_ascii=False, allow_nan=False) + "\n"
