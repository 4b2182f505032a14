"""A database that reads and writes nothing but what it is given."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import duckdb


def locked_connection(threads: int | None = None) -> duckdb.DuckDBPyConnection:
    """A database in memory that cannot read files, load extensions or change its settings."""
    config: dict[str, Any] = {"enable_external_access": False, "autoload_known_extensions": False}
    if threads is not None:
        config["threads"] = threads
    connection = duckdb.connect(":memory:", config=config)
    connection.execute("SET lock_configuration = true")
    return connection


def locked_writer(
    path: Path | None, folder: Path, config: Mapping[str, Any] | None = None
) -> duckdb.DuckDBPyConnection:
    """A database in a new file, or in memory, that can write into ``folder`` and reach nothing else.

    It can neither load extensions nor change its settings.
    """
    options: dict[str, Any] = {"autoload_known_extensions": False, **(config or {})}
    connection = duckdb.connect(":memory:" if path is None else path, config=options)
    inside = str(folder).replace("'", "''")
    connection.execute(f"SET allowed_directories = ['{inside}']")
    connection.execute("SET enable_external_access = false")
    connection.execute("SET lock_configuration = true")
    return connection
