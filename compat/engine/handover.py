"""Rows and frames into DuckDB and out of it, without pyarrow.

Small work goes in as lists, without loading Polars; large frames go by the Arrow stream that both
libraries speak.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import duckdb

if TYPE_CHECKING:
    import polars as pl

Columns = Mapping[str, tuple[str, Sequence[object]]]


class _Stream:
    """Shows only the Arrow stream of a frame, so that no other reader is chosen for it."""

    def __init__(self, frame: pl.DataFrame) -> None:
        self._frame = frame

    def __arrow_c_stream__(self, requested_schema: object | None = None) -> Any:
        return self._frame.__arrow_c_stream__(requested_schema)


def columns_into_database(connection: duckdb.DuckDBPyConnection, name: str, columns: Columns) -> None:
    """Make a table of columns, each a type name and its values. Names are ours, never a user's text."""
    cells = ", ".join(f"unnest(?::{type_name}[]) AS {column}" for column, (type_name, _) in columns.items())
    values = [list(values) for _, values in columns.values()]
    connection.execute(f"CREATE OR REPLACE TABLE {name} AS SELECT {cells}", values)


def frame_into_database(connection: duckdb.DuckDBPyConnection, name: str, frame: pl.DataFrame) -> None:
    """Make a table of a frame. ``name`` is one of ours, never a user's text."""
    connection.register("handed_over", _Stream(frame))
    try:
        connection.execute(f"CREATE OR REPLACE TABLE {name} AS SELECT * FROM handed_over")
    finally:
        connection.unregister("handed_over")


def frame_from_database(relation: duckdb.DuckDBPyRelation) -> pl.DataFrame:
    """The rows of a relation as a frame."""
    import polars as pl

    return pl.DataFrame(relation)


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
