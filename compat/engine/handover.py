"""Frames between Polars and DuckDB without pyarrow, by the Arrow stream interface both speak."""

from __future__ import annotations

from typing import Any

import duckdb
import polars as pl


class _Stream:
    """Shows only the Arrow stream of a frame, so that no other reader is chosen for it."""

    def __init__(self, frame: pl.DataFrame) -> None:
        self._frame = frame

    def __arrow_c_stream__(self, requested_schema: object | None = None) -> Any:
        return self._frame.__arrow_c_stream__(requested_schema)


def into_database(connection: duckdb.DuckDBPyConnection, name: str, frame: pl.DataFrame) -> None:
    """Make a table of a frame. ``name`` is one of ours, never a user's text."""
    stream = _Stream(frame)
    connection.register("handed_over", stream)
    try:
        connection.execute(f"CREATE OR REPLACE TABLE {name} AS SELECT * FROM handed_over")
    finally:
        connection.unregister("handed_over")


def from_database(relation: duckdb.DuckDBPyRelation) -> pl.DataFrame:
    """The rows of a relation as a frame."""
    return pl.DataFrame(relation)


def locked_connection(threads: int | None = None) -> duckdb.DuckDBPyConnection:
    """A database in memory that cannot read files, load extensions or change its settings."""
    config: dict[str, Any] = {"enable_external_access": False, "autoload_known_extensions": False}
    if threads is not None:
        config["threads"] = threads
    connection = duckdb.connect(":memory:", config=config)
    connection.execute("SET lock_configuration = true")
    return connection
