"""The published JSON Schemas: made from the models and the vocabulary, and used to check files.

The files in ``schemas/`` are what :func:`schemas` returns; a test holds them equal, so what is
published is what runs.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from compat.model.changes import Changes
from compat.model.checks import ChecksReport
from compat.model.equipment import SUBJECT_OF, Entry
from compat.model.exceptions import ExceptionsFile
from compat.model.lookup import Lookup, OutputLookup
from compat.model.plan import DaliAddresses, DmxPatch, Plan
from compat.model.project import Project
from compat.model.record import Record
from compat.model.relation import Relation
from compat.model.report import Report
from compat.model.rule import Cases, Rule
from compat.model.source import Source
from compat.model.system import SystemFile
from compat.model.usual import UsualFile
from compat.model.values import BASES
from compat.model.vocabulary import TraitDefinition, Vocabulary

if TYPE_CHECKING:
    from pydantic import BaseModel

DIALECT = "https://json-schema.org/draft/2020-12/schema"
NUMBER = {"type": "number", "minimum": 0, "maximum": 1e9}
PAIR = {"type": "array", "items": NUMBER, "minItems": 2, "maxItems": 2}


def schemas(vocabulary: Vocabulary) -> dict[str, dict[str, Any]]:
    """Every published schema by file name."""
    made = {f"{table}.schema.json": _table_schema(table, vocabulary) for table in SUBJECT_OF}
    models: dict[str, type[BaseModel] | type[Record]] = {
        "rule": Rule,
        "cases": Cases,
        "relation": Relation,
        "usual": UsualFile,
        "project": Project,
        "report": Report,
        "lookup": Lookup,
        "output_lookup": OutputLookup,
        "system": SystemFile,
        "plan": Plan,
        "dmx_patch": DmxPatch,
        "dali_addresses": DaliAddresses,
        "checks": ChecksReport,
        "exceptions": ExceptionsFile,
        "changes": Changes,
    }
    for name, model in models.items():
        made[f"{name}.schema.json"] = {"$schema": DIALECT, **model.model_json_schema(by_alias=True)}
    made["system.schema.json"]["properties"]["traits"] = _traits_schema("system", vocabulary)
    made["sources.schema.json"] = _listed("sources", "source", Source.model_json_schema())
    return made


def schema_text(schema: dict[str, Any]) -> str:
    """A schema as it is published."""
    return json.dumps(schema, indent=2, ensure_ascii=False) + "\n"


def without_descriptions(schema: Any) -> Any:
    """A schema without its texts for people."""
    if isinstance(schema, dict):
        # A field may itself be called description; then what it must be stands below it.
        texts = {"description"} if isinstance(schema.get("description"), str) else set()
        return {key: without_descriptions(part) for key, part in schema.items() if key not in texts}
    return [without_descriptions(part) for part in schema] if isinstance(schema, list) else schema


def _table_schema(table: str, vocabulary: Vocabulary) -> dict[str, Any]:
    subject = SUBJECT_OF[table]
    entry = Entry.model_json_schema()
    entry["properties"]["traits"] = _traits_schema(subject, vocabulary)
    return _listed(table, subject, entry)


def _traits_schema(subject: str, vocabulary: Vocabulary) -> dict[str, Any]:
    return {
        "type": "object",
        "description": f"Traits of a {subject}; one left out is not known.",
        "additionalProperties": False,
        "properties": {t.name: _trait_schema(t, vocabulary) for t in vocabulary.of_subject(subject)},
    }


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
