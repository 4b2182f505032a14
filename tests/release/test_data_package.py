"""``datapackage.json`` by Data Package 2.0: what it says of each file is so, and every cell has its type."""

from __future__ import annotations

import csv
import hashlib
import json
import re
from pathlib import Path
from typing import Any

import pytest

NAME = re.compile(r"[a-z0-9._-]+")  # datapackage.org, Data Resource, name


@pytest.fixture(scope="module")
def package(release: Path) -> dict[str, Any]:
    found = json.loads((release / "datapackage.json").read_text(encoding="utf-8"))
    assert isinstance(found, dict)
    return found


def test_the_head_is_that_of_the_standard(source: Path, package: dict[str, Any]) -> None:
    assert package["$schema"] == "https://datapackage.org/profiles/2.0/datapackage.json"
    assert NAME.fullmatch(package["name"])
    assert re.fullmatch(r"\d+\.\d+\.\d+", package["version"])
    # The day of the dataset itself: that of the build would make two builds differ.
    own = json.loads((source / "datasets" / "datapackage.json").read_text(encoding="utf-8"))
    assert package.get("created") == own.get("created")


def test_names_are_given_once(package: dict[str, Any]) -> None:
    names = [resource["name"] for resource in package["resources"]]
    assert len(set(names)) == len(names)
    assert all(map(NAME.fullmatch, names))


def test_sizes_and_hashes_are_those_of_the_files(release: Path, package: dict[str, Any]) -> None:
    for resource in package["resources"]:
        content = (release / resource["path"]).read_bytes()
        assert resource["bytes"] == len(content)
        assert resource["hash"] == f"sha256:{hashlib.sha256(content).hexdigest()}"


def test_every_table_and_database_is_described(release: Path, package: dict[str, Any]) -> None:
    described = {resource["path"] for resource in package["resources"]}
    for suffix in ("csv/*.csv", "parquet/*.parquet", "*.duckdb"):
        assert {path.relative_to(release).as_posix() for path in release.glob(suffix)} <= described


def fits(text: str, kind: str) -> bool:
    """Whether a CSV cell is of a field type, as the Table Schema of the standard writes it."""
    if kind == "array":
        return isinstance(json.loads(text), list)
    patterns = {"number": r"-?\d+(\.\d+)?(e[+-]?\d+)?", "integer": r"-?\d+", "boolean": r"true|false"}
    return kind == "string" or re.fullmatch(patterns[kind], text) is not None


def test_cells_have_the_types_of_their_fields_and_keys_are_given_once(
    release: Path, package: dict[str, Any]
) -> None:
    tables = [resource for resource in package["resources"] if resource.get("type") == "table"]
    assert len(tables) >= 15
    for resource in tables:
        schema, keys = resource["schema"], set()
        types = {field["name"]: field["type"] for field in schema["fields"]}
        with (release / resource["path"]).open(encoding="utf-8", newline="") as file:
            reader = csv.DictReader(file)
            assert reader.fieldnames == list(types)
            for row in reader:
                for name, cell in row.items():
                    assert not cell or fits(cell, types[name]), (resource["path"], name, cell)
                key = tuple(row[name] for name in schema["primaryKey"])
                assert all(key)
                assert key not in keys
                keys.add(key)
