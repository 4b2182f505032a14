"""Checks of files and ids: published schemas, names of files, ids given once and ids named in texts."""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from compat.checks.context import EXCEPTIONS_FILE, CheckContext, check, in_cases, in_rule
from compat.dataset.published import schema_text, schemas, without_descriptions
from compat.dataset.read import table_files
from compat.dataset.schema_check import check_by_schema
from compat.dataset.systems import system_files
from compat.dataset.toml_files import read_document, read_text, read_toml
from compat.model.equipment import SLUG, SUBJECT_OF
from compat.model.faults import BadInput, Fault
from compat.model.values import Origin
from compat.rulebook.relations import relation_files
from compat.rulebook.rules import cases_file, rule_files
from compat.rulebook.usual import usual_files

ID = re.compile(r"(?<![\w.-])[RSDOUBCZFK][0-9]{4}(?![\w-])")
TEXTS = ("title", "question", "because", "caution", "note", "remedies", "ask_for")
PAGES = ("README.md",)


@check("published-schemas", "dataset", "every file fits its published schema")
def published_schemas(context: CheckContext) -> Iterator[Fault]:
    """Faults of files against schemas/, and of schemas/ against the models."""
    root = context.dataset.root
    made = schemas(context.dataset.vocabulary)
    stale = [name for name, schema in made.items() if not _is_published(root / "schemas" / name, schema)]
    for name in stale:
        what = "the published schema is not the one the program uses"
        yield Fault(what, Origin(f"schemas/{name}"), do="Run: compat dataset schemas")
    if stale:
        return
    import jsonschema_rs

    quick: dict[str, jsonschema_rs.Validator] = {}
    for path, schema_name in _files(context):
        if schema_name not in quick:
            schema = read_toml(root / "schemas" / f"{schema_name}.schema.json")
            quick[schema_name] = jsonschema_rs.validator_for(schema)
        if quick[schema_name].is_valid(read_toml(path)):
            continue
        # The quick form says only that something is wrong; the other one finds the words.
        try:
            check_by_schema(read_document(path), schema_name, root)
        except BadInput as error:
            yield from error.faults


def _is_published(path: Path, schema: dict[str, Any]) -> bool:
    if not path.exists():
        return False
    if sys.flags.optimize > 1:
        # Descriptions are made of docstrings, which this way of running Python leaves out.
        return bool(without_descriptions(read_toml(path)) == without_descriptions(schema))
    return path.read_text(encoding="utf-8") == schema_text(schema)


def _files(context: CheckContext) -> Iterator[tuple[Path, str]]:
    root = context.dataset.root
    for table in SUBJECT_OF:
        yield from ((path, table) for path in table_files(root, table))
    yield from ((path, "sources") for path in table_files(root, "sources"))
    for rule in context.rules:
        yield rule.file, "rule"
        if rule.rule.slug in context.cases:
            yield cases_file(rule.file), "cases"
    for relation in context.relations:
        yield relation.file, "relation"
    told = {fault.where.file for fault in context.unreadable}
    for path in usual_files(root):
        if path.name not in told:
            yield path, "usual"
    yield from ((path, "system") for path in system_files(root) if path.name not in told)
    exceptions = context.dataset.rules_folder / EXCEPTIONS_FILE
    if exceptions.is_file() and EXCEPTIONS_FILE not in told:
        yield exceptions, "exceptions"


@check("file-names", "rule", "a rule's file is named after its slug, and its cases file names its id")
def file_names(context: CheckContext) -> Iterator[Fault]:
    """Faults for names that do not match and for files that are not read."""
    folder = context.dataset.rules_folder
    read = set(rule_files(folder))
    read |= {cases_file(path) for path in read} | {folder / EXCEPTIONS_FILE, *relation_files(folder)}
    for path in sorted(folder.rglob("*.toml")):
        if path not in read:
            where = Origin(path.relative_to(folder).as_posix())
            do = "Put it into rules/<family>/, cases beside the rule of the same name"
            yield Fault("the file is not read: it is neither a rule nor the cases of one", where, do=do)
    for rule in context.rules:
        if not re.fullmatch(SLUG, rule.family):
            what = f"the folder '{rule.family}' is no name of a family"
            yield Fault(what, in_rule(rule), "Allowed: small letters, digits and hyphens", "Rename it")
        if rule.file.stem != rule.rule.slug:
            what = f"the slug is '{rule.rule.slug}' and the file '{rule.file.name}'"
            yield Fault(what, in_rule(rule, "slug"), do=f"Name the file {rule.rule.slug}.toml")
        if rule.rule.slug in context.cases:
            named = read_toml(cases_file(rule.file))["rule"]
            if named != rule.rule.id:
                what = f"the cases are of rule {named}, the rule beside them is {rule.rule.id}"
                yield Fault(what, in_cases(rule, "rule"), do=f'Write rule = "{rule.rule.id}"')


@check("ids", "dataset", "an id and a slug are given once, and never again after a withdrawal")
def ids(context: CheckContext) -> Iterator[Fault]:
    """Faults for ids and slugs that stand twice. A withdrawn rule keeps its file, so its id is taken."""
    seen: dict[str, str] = {}
    for rule in context.rules:
        for key, value in (("id", rule.rule.id), ("slug", rule.rule.slug)):
            if value in seen:
                what = f"the {key} {value} is given already in {seen[value]}"
                yield Fault(what, in_rule(rule, key), do="Give a new one; ids are never used again")
            withdrawn = " (withdrawn)" if rule.rule.status == "withdrawn" else ""
            seen[value] = f"{rule.family}/{rule.file.name}{withdrawn}"
    for entry in context.entries:
        for key in ("id", "slug"):
            if key not in entry.raw:
                continue
            value = f"{entry.table} {entry.raw[key]}"
            if value in seen:
                what = f"the {key} {entry.raw[key]} is given already in {seen[value]}"
                yield Fault(what, entry.where(key), do="Give a new one")
            seen[value] = entry.path.name


@check("dangling-ids", "dataset", "an id named in a text is that of a rule in force, an entry or a reference")
def dangling_ids(context: CheckContext) -> Iterator[Fault]:
    """Faults for ids in rules, notes and the README that name nothing, or a withdrawn rule."""
    known = {rule.rule.id for rule in context.live_rules()}
    known |= {entry.id for entry in context.entries} | set(context.dataset.sources)
    known |= {entry.relation.id for entry in context.relations}
    known |= {entry.written.id for entry in context.usual.classes}
    do = "Correct the id or leave it out"
    for rule in context.live_rules():
        for field in TEXTS:
            value = getattr(rule.rule, field)
            parts = value.items() if isinstance(value, dict) else enumerate(value)
            texts = (
                [((field,), value)] if isinstance(value, str) else [((field, k), text) for k, text in parts]
            )
            for steps, text in texts:
                for what in _dangling(text, known):
                    yield Fault(what, in_rule(rule, *steps), do=do)
    for entry in context.entries:
        for what in _dangling(str(entry.raw.get("note", "")), known):
            yield Fault(f"{entry.id}: {what}", entry.where("note"), do=do)
    for page in PAGES:
        path = context.dataset.root / page
        lines = read_text(path).split("\n") if path.is_file() else []
        for number, line in enumerate(lines, start=1):
            for what in _dangling(line, known):
                yield Fault(what, Origin(page, line=number), do="Write the page anew")


def _dangling(text: str, known: set[str]) -> Iterator[str]:
    for name in ID.findall(text):
        if name not in known:
            yield f"{name} is named here, which is no rule in force, entry or reference"
