"""``datapackage.json`` of a release, by the Data Package standard, version 2."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from compat import __version__
from compat.dataset.find import EDITIONS, NAME
from compat.dataset.read import Dataset
from compat.dataset.toml_files import read_toml
from compat.release.table import CSV_NOTE, Column, Table

PROFILE = "https://datapackage.org/profiles/2.0/datapackage.json"
TITLE = "Compatibility of lighting loads with the outputs that control them"
LICENCE = {
    "name": "CC0-1.0",
    "title": "CC0 1.0 Universal",
    "path": "https://creativecommons.org/publicdomain/zero/1.0/",
}
FIELD_TYPE = {"text": "string", "number": "number", "whole": "integer", "yes_no": "boolean", "words": "array"}
PACKAGE = "datapackage.json"
DATABASE = f"{NAME}.duckdb"
RULES = "rules.json"


def package_text(folder: Path, tables: Sequence[Table], dataset: Dataset) -> str:
    """The description of a release whose files lie in a folder: every table as CSV with its fields,
    then Parquet, the database and the rules as files, each with its size and hash.

    ``compat`` says which program made it and which schemas its files are written by.
    """
    resources = [_table(folder, table) for table in tables]
    resources += [_file(folder, f"{t.name}-parquet", f"parquet/{t.name}.parquet", t.meaning) for t in tables]
    resources.append(_file(folder, "database", DATABASE, "All tables as one DuckDB database"))
    resources.append(_file(folder, "rules-with-cases", RULES, "All rules with their cases, as written"))
    package = {
        "$schema": PROFILE,
        "name": NAME,
        "title": TITLE,
        "description": f"Generic equipment, rules with their cases and sources; no products. {CSV_NOTE}",
        "version": dataset.version,
        **_created(dataset),
        "licenses": [LICENCE],
        "compat": {
            "program": __version__,
            "dataset_sha256": dataset.sha256,
            "schemas": [f"{kind}/{edition}" for kind, edition in sorted(EDITIONS.items())],
        },
        "resources": resources,
    }
    return json.dumps(package, indent=2, ensure_ascii=False) + "\n"


def _created(dataset: Dataset) -> dict[str, Any]:
    """The day that the dataset itself gives, never that of the build."""
    day = read_toml(dataset.root / "datasets" / PACKAGE).get("created")
    return {"created": day} if isinstance(day, str) else {}


def _table(folder: Path, table: Table) -> dict[str, Any]:
    key = list(table.key)
    return {
        "name": table.name.replace("_", "-"),
        "type": "table",
        "path": f"csv/{table.name}.csv",
        "title": table.meaning,
        "format": "csv",
        "mediatype": "text/csv",
        "encoding": "utf-8",
        **_sums(folder / "csv" / f"{table.name}.csv"),
        "schema": {
            "fields": [_field(column, key) for column in table.columns],
            "primaryKey": key,
            "missingValues": [""],
        },
    }


def _field(column: Column, key: list[str]) -> dict[str, Any]:
    field = {"name": column.name, "type": FIELD_TYPE[column.type], "description": column.meaning}
    return {**field, "constraints": {"required": True}} if column.name in key else field


def _file(folder: Path, name: str, path: str, title: str) -> dict[str, Any]:
    # A format of its own would make readers look for a plug-in to check the rows of Parquet files;
    # the rows are those of the CSV tables.
    binary = {"format": "binary", "mediatype": "application/vnd.apache.parquet"}
    return {
        "name": name.replace("_", "-"),
        "path": path,
        "title": title,
        **(binary if path.endswith(".parquet") else {}),
        **_sums(folder / path),
    }


def _sums(path: Path) -> dict[str, Any]:
    content = path.read_bytes()
    return {"bytes": len(content), "hash": f"sha256:{hashlib.sha256(content).hexdigest()}"}
