"""Every file fits its published schema, and the published schemas are those of the program."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from compat.checks.exceptions_file import EXCEPTIONS_FILE
from compat.checks.material import Material
from compat.dataset.published import schema_text, schemas
from compat.dataset.schema_check import check_by_schema
from compat.dataset.toml_files import read_toml
from compat.model.equipment import SUBJECT_OF
from compat.model.faults import BadInput, Fault
from compat.model.values import Origin
from compat.rulebook.rules import cases_file
from compat.rulebook.usual import usual_files

NAME = "published-schemas"
SCOPE = "dataset"
SENTENCE = "every file fits its published schema"


def check(material: Material) -> Iterator[Fault]:
    """Faults of files against schemas/, and of schemas/ against the models."""
    root = material.dataset.root
    stale = [
        name
        for name, schema in schemas(material.dataset.vocabulary).items()
        if not (root / "schemas" / name).exists()
        or (root / "schemas" / name).read_text(encoding="utf-8") != schema_text(schema)
    ]
    for name in stale:
        what = "the published schema is not the one the program uses"
        yield Fault(what, Origin(f"schemas/{name}"), do="Run: compat dataset schemas")
    if stale:
        return
    import jsonschema_rs

    quick: dict[str, jsonschema_rs.Validator] = {}
    for path, schema_name in _files(material):
        if schema_name not in quick:
            schema = read_toml(root / "schemas" / f"{schema_name}.schema.json")
            quick[schema_name] = jsonschema_rs.validator_for(schema)
        if quick[schema_name].is_valid(read_toml(path)):
            continue
        # The quick form says only that something is wrong; the other one finds the words.
        try:
            check_by_schema(path, read_toml(path), schema_name, root)
        except BadInput as error:
            yield from error.faults


def _files(material: Material) -> Iterator[tuple[Path, str]]:
    root = material.dataset.root
    for table in SUBJECT_OF:
        for path in sorted((root / "datasets" / table.replace("_", "-")).glob("*.toml")):
            yield path, table
    for path in sorted((root / "datasets" / "sources").glob("*.toml")):
        yield path, "sources"
    for rule in material.rules:
        yield rule.file, "rule"
        if rule.rule.slug in material.cases:
            yield cases_file(rule.file), "cases"
    for relation in material.relations:
        yield relation.file, "relation"
    told = {fault.where.file for fault in material.unreadable}
    for path in usual_files(root):
        if path.name not in told:
            yield path, "usual"
    exceptions = material.dataset.rules_folder / EXCEPTIONS_FILE
    if exceptions.is_file() and EXCEPTIONS_FILE not in told:
        yield exceptions, "exceptions"
