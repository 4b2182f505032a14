"""A comparison of two editions as JSON, by the published schema."""

from __future__ import annotations

import json

from compat.model.changes import Changes


def render_changes_json(changes: Changes) -> str:
    """The comparison with its keys in the order of the model, by ``changes.schema.json``."""
    data = changes.model_dump(mode="python")
    return json.dumps(data, indent=2, ensure_ascii=False, allow_nan=False) + "\n"
