"""The published schemas: those of the program, and examples that fit and do not fit."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path

import jsonschema
import pytest

from compat.dataset.overlay import read_setting
from compat.dataset.published import schema_text, schemas
from compat.dataset.read import Dataset, read_sources, read_table
from compat.dataset.schema_check import check_by_schema
from compat.dataset.systems import read_system
from compat.dataset.toml_files import read_document, read_toml, validated
from compat.model.equipment import SUBJECT_OF
from compat.model.exceptions import ExceptionsFile
from compat.model.faults import BadInput
from compat.model.usual import UsualFile
from compat.rulebook.relations import read_relation
from compat.rulebook.rules import read_cases, read_rule
from tests.conftest import ROOT

SCHEMAS = ROOT / "schemas"
VALID = sorted((SCHEMAS / "examples" / "valid").glob("*.toml"))
INVALID = sorted((SCHEMAS / "examples" / "invalid").glob("*.toml"))
MARK = "# Refused; the fault names: "
WITH_EXAMPLES = {
    *SUBJECT_OF, "rule", "cases", "exceptions", "project", "sources", "relation", "system", "usual",
}  # fmt: skip
# Answers of the program, which nobody writes by hand.
ANSWERS = {"changes", "checks", "dali_addresses", "dmx_patch", "lookup", "output_lookup", "plan", "report"}


def schema_of(path: Path) -> str:
    return path.name.split(".")[0]


def read_by_the_program(path: Path, dataset: Dataset) -> None:
    """Read a file the way the program does; raises BadInput."""
    name = schema_of(path)
    if name in SUBJECT_OF:
        read_table(path, name, dataset.vocabulary)
    elif name == "rule":
        read_rule(path, dataset.vocabulary)
    elif name == "cases":
        read_cases(path)
    elif name == "relation":
        read_relation(path, dataset.vocabulary)
    elif name == "system":
        read_system(path, dataset)
    elif name == "usual":
        document = read_document(path)
        validated(UsualFile, document.data, document)
    elif name == "exceptions":
        validated(ExceptionsFile, read_toml(path), read_document(path))
    elif name == "project":
        read_setting(dataset, path, None)
    else:
        assert name == "sources"
        read_sources(path.parent)


def test_the_published_schemas_are_those_of_the_program(dataset: Dataset) -> None:
    made = schemas(dataset.vocabulary)
    published = {path.name: path.read_text(encoding="utf-8") for path in SCHEMAS.glob("*.json")}
    assert published == {name: schema_text(schema) for name, schema in made.items()}


@pytest.mark.parametrize("path", sorted(SCHEMAS.glob("*.json")), ids=lambda path: path.stem)
def test_a_published_schema_is_a_schema(path: Path) -> None:
    schema = json.loads(path.read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"


def test_every_schema_has_its_examples() -> None:
    published = {schema_of(path) for path in SCHEMAS.glob("*.json")}
    assert published - WITH_EXAMPLES == ANSWERS
    assert {path.stem for path in VALID} == WITH_EXAMPLES
    for name in WITH_EXAMPLES:
        assert sum(schema_of(path) == name for path in INVALID) >= 2, name


@pytest.mark.parametrize("path", VALID, ids=lambda path: path.stem)
def test_a_valid_example_passes(path: Path, dataset: Dataset, tmp_path: Path) -> None:
    copy = Path(shutil.copy(path, tmp_path))
    check_by_schema(read_document(copy), schema_of(path), ROOT)
    read_by_the_program(copy, dataset)
    assert read_toml(copy)["schema"] == f"{schema_of(path)}/1"


@pytest.mark.parametrize("path", INVALID, ids=lambda path: path.stem)
def test_an_invalid_example_fails_and_the_fault_names_the_key(
    path: Path, dataset: Dataset, tmp_path: Path
) -> None:
    first = path.read_text(encoding="utf-8").splitlines()[0]
    assert first.startswith(MARK)
    key = first.removeprefix(MARK)
    copy = Path(shutil.copy(path, tmp_path))
    with pytest.raises(BadInput) as by_schema:
        check_by_schema(read_document(copy), schema_of(path), ROOT)
    with pytest.raises(BadInput) as by_program:
        read_by_the_program(copy, dataset)
    for caught in (by_schema, by_program):
        sentences = [fault.sentence() for fault in caught.value.faults]
        assert all(sentence.startswith(path.name) for sentence in sentences)
        told = [sentence.removeprefix(path.name) for sentence in sentences]
        assert any(re.search(rf"\b{key}\b", sentence) for sentence in told), sentences


def test_an_invalid_example_differs_from_the_valid_one_in_one_place() -> None:
    """So that each shows one fault and no other."""
    for path in INVALID:
        valid = (SCHEMAS / "examples" / "valid" / f"{schema_of(path)}.toml").read_text(encoding="utf-8")
        invalid = path.read_text(encoding="utf-8")
        new = [line for line in invalid.splitlines()[1:] if line not in valid.splitlines()]
        gone = [line for line in valid.splitlines()[1:] if line not in invalid.splitlines()]
        assert new or gone, path.name
        assert len(new) <= 2, (path.name, new)


def test_the_fault_of_a_schema_says_what_the_value_is(dataset: Dataset, tmp_path: Path) -> None:
    """The meaning of a trait stands in its schema and comes back with the fault."""
    path = tmp_path / "drivers.toml"
    path.write_text((SCHEMAS / "examples" / "invalid" / "drivers.negative-power.toml").read_text())
    with pytest.raises(BadInput) as caught:
        check_by_schema(read_document(path), "drivers", ROOT)
    (fault,) = caught.value.faults
    assert fault.where.line == 15
    assert "Active power from the mains at full output" in fault.sentence()
    assert "Unit: W" in fault.sentence()
