"""The published JSON Schemas: made from the models and the vocabulary, and used to check files.

The files in ``schemas/`` are what :func:`schemas` returns; a test holds them equal, so what is
published is what runs.
"""

from __future__ import annotations

import json
import reprlib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from pydantic import BaseModel

from compat.dataset.toml_files import line_of, read_text, read_toml
from compat.model.changes import Changes
from compat.model.checks import ChecksReport
from compat.model.equipment import SUBJECT_OF, Entry
from compat.model.exceptions import ExceptionsFile
from compat.model.faults import BadInput, Fault, did_you_mean
from compat.model.lookup import Lookup
from compat.model.plan import DaliAddresses, DmxPatch
from compat.model.project import Project
from compat.model.report import Report
from compat.model.rule import Cases, Rule
from compat.model.source import Source
from compat.model.values import BASES, Origin
from compat.model.vocabulary import TraitDefinition, Vocabulary

DIALECT = "https://json-schema.org/draft/2020-12/schema"
NUMBER = {"type": "number", "minimum": 0, "maximum": 1e9}
PAIR = {"type": "array", "items": NUMBER, "minItems": 2, "maxItems": 2}


def schemas(vocabulary: Vocabulary) -> dict[str, dict[str, Any]]:
    """Every published schema by file name."""
    made = {f"{table}.schema.json": _table_schema(table, vocabulary) for table in SUBJECT_OF}
    models: dict[str, type[BaseModel]] = {
        "rule": Rule,
        "cases": Cases,
        "project": Project,
        "report": Report,
        "lookup": Lookup,
        "dmx_patch": DmxPatch,
        "dali_addresses": DaliAddresses,
        "checks": ChecksReport,
        "exceptions": ExceptionsFile,
        "changes": Changes,
    }
    for name, model in models.items():
        made[f"{name}.schema.json"] = {"$schema": DIALECT, **model.model_json_schema(by_alias=True)}
    made["sources.schema.json"] = _listed("sources", "source", Source.model_json_schema())
    return made


def schema_text(schema: dict[str, Any]) -> str:
    """A schema as it is published."""
    return json.dumps(schema, indent=2, ensure_ascii=False) + "\n"


def check_by_schema(path: Path, data: dict[str, Any], name: str, root: Path) -> None:
    """Check data by a published schema; raises BadInput with a fault for each breach."""
    import jsonschema

    schema = read_toml(root / "schemas" / f"{name}.schema.json")
    text = read_text(path)
    validator = jsonschema.Draft202012Validator(schema)
    errors = sorted(
        validator.iter_errors(data), key=lambda error: [str(part) for part in error.absolute_path]
    )
    faults = [fault for error in errors for fault in _schema_faults(error, path, text)]
    if faults:
        raise BadInput(faults)


def _schema_faults(error: Any, path: Path, text: str) -> Iterator[Fault]:
    """The faults of one breach of a schema; several unknown fields are several faults."""
    at, schema = list(error.absolute_path), error.schema

    def fault(what: str, *keys: str, allowed: str = "", do: str = "") -> Fault:
        where = Origin(
            path.name, line=line_of(text, *at, *keys), key=".".join(map(str, [*at, *keys])) or None
        )
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


def _table_schema(table: str, vocabulary: Vocabulary) -> dict[str, Any]:
    subject = SUBJECT_OF[table]
    entry = Entry.model_json_schema()
    entry["properties"]["traits"] = {
        "type": "object",
        "description": f"Traits of a {subject}; one left out is not known.",
        "additionalProperties": False,
        "properties": {t.name: _trait_schema(t, vocabulary) for t in vocabulary.of_subject(subject)},
    }
    return _listed(table, subject, entry)


def _listed(table: str, subject: str, entry: dict[str, Any]) -> dict[str, Any]:
    definitions = entry.pop("$defs", {})
    return {
        "$schema": DIALECT,
        "title": table,
        "type": "object",
        "required": ["schema", subject],
        "additionalProperties": False,
        "properties": {
            "schema": {"const": f"{table}/1"},
            subject: {"type": "array", "minItems": 1, "items": entry},
        },
        "$defs": definitions,
    }


def _trait_schema(trait: TraitDefinition, vocabulary: Vocabulary) -> dict[str, Any]:
    bare = _bare_values(trait, vocabulary)
    unit = f" Unit: {vocabulary.units[trait.unit].symbol or trait.unit}." if trait.unit else ""
    own = {"basis": {"enum": list(BASES)}, "source": {"type": "string"}, "locator": {"type": "string"}}
    tables: list[dict[str, Any]] = [{"value": {"anyOf": bare}}]
    if trait.kind == "quantity":
        tables.append({"low": NUMBER, "high": NUMBER})
    if trait.kind == "set":
        words = {"type": "array", "items": {"enum": list(vocabulary.values_of(trait))}}
        tables.append({"sure": words, "possible": words})
    shaped = [
        {
            "type": "object",
            "required": list(fields),
            "additionalProperties": False,
            "properties": {**fields, **own},
        }
        for fields in tables
    ]
    return {
        "description": f"{trait.meaning[:1].upper()}{trait.meaning[1:]}.{unit}",
        "anyOf": [*bare, *shaped],
    }


def _bare_values(trait: TraitDefinition, vocabulary: Vocabulary) -> list[dict[str, Any]]:
    unknown = {"const": "unknown"}
    if trait.kind == "quantity":
        return [NUMBER, PAIR, unknown]
    if trait.kind == "yes_no":
        return [{"type": "boolean"}, unknown]
    words = {"enum": list(vocabulary.values_of(trait))}
    if trait.kind == "choice":
        return [words, unknown]
    return [words, {"type": "array", "items": words, "uniqueItems": True}, unknown]
