"""A file held to its published schema."""

from __future__ import annotations

import contextlib
import reprlib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from compat.dataset.toml_files import Document, read_toml
from compat.model.faults import BadInput, Fault, did_you_mean


def check_by_schema(document: Document, name: str, root: Path) -> None:
    """Check a file by a published schema; raises BadInput with a fault for each breach."""
    schema = read_toml(root / "schemas" / f"{name}.schema.json")
    with contextlib.suppress(ImportError):  # there is none for a browser
        import jsonschema_rs

        if jsonschema_rs.validator_for(schema).is_valid(document.data):
            return
    # The quick form says only that something is wrong; the other one, slow to load, finds the words.
    import jsonschema

    found = jsonschema.Draft202012Validator(schema).iter_errors(document.data)
    errors = sorted(found, key=lambda error: [str(part) for part in error.absolute_path])
    faults = [fault for error in errors for fault in _schema_faults(error, document)]
    if faults:
        raise BadInput(faults)


def _schema_faults(error: Any, document: Document) -> Iterator[Fault]:
    """The faults of one breach of a schema; several unknown fields are several faults."""
    at, schema = list(error.absolute_path), error.schema

    def fault(what: str, *keys: str, allowed: str = "", do: str = "") -> Fault:
        where = document.where(*at, *keys, key=".".join(map(str, [*at, *keys])) or None)
        return Fault(what, where, allowed, do)

    if error.validator == "required":
        missing = error.message.removesuffix(" is a required property")
        yield fault(f"{missing} is missing", do="Add it")
    elif error.validator == "additionalProperties":
        known = schema.get("properties", {})
        for name in error.instance:
            if name not in known:
                yield fault(f"'{name}' is no field here", name, do=did_you_mean(name, known))
    else:
        words = {"enum": error.validator_value, "const": [error.validator_value]}.get(error.validator)
        allowed = f"Allowed: {', '.join(map(str, words))}" if words else ""
        if error.validator == "pattern":
            allowed = f"Allowed: text of the form {error.validator_value}"
        elif not words and "description" in schema:
            allowed = f"Wanted: {schema['description'].split(chr(10))[0].rstrip('.')}"
        yield fault(f"{reprlib.repr(error.instance)} is not allowed", allowed=allowed)
