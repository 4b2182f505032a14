"""The tables of a release as one DuckDB file, as Parquet and as CSV; the same bytes for the same tables."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from compat.model.faults import BadInput, Fault
from compat.model.values import Origin
from compat.release.steady import IDENTIFIER_BYTES, OtherLayout, steadied
from compat.release.table import Cell, Table

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

SQL_TYPE = {
    "text": "VARCHAR",
    "number": "DOUBLE",
    "whole": "INTEGER",
    "yes_no": "BOOLEAN",
    "words": "VARCHAR[]",
}
# One thread keeps the order of the rows in the file; the row order of each table is its own.
CONFIG: dict[str, str | bool | int | float | list[str]] = {"threads": "1", "preserve_insertion_order": "true"}


def write_database(path: Path, tables: Sequence[Table], sha256: str) -> None:
    """Write the DuckDB file, with the meaning of each table and column as its comment.

    ``sha256`` is the hash of the dataset, from which the identifier of the file is taken. The name
    of the file is part of its content. Raises BadInput when this DuckDB lays out files otherwise.
    """
    import duckdb

    from compat.engine.database import locked_writer

    with locked_writer(path, path.parent, CONFIG) as connection:
        connection.execute("BEGIN")
        for table in tables:
            _create(connection, table)
        connection.execute("COMMIT")
        connection.execute("CHECKPOINT")
    try:
        path.write_bytes(steadied(path.read_bytes(), bytes.fromhex(sha256)[:IDENTIFIER_BYTES]))
    except OtherLayout as error:
        what = f"{error}, so that two builds would differ (DuckDB {duckdb.__version__})"
        raise BadInput([Fault(what, Origin(path.name), do="Build with DuckDB 2.0.1")]) from None


def write_parquet(folder: Path, tables: Sequence[Table]) -> None:
    """Write each table as ``<name>.parquet`` in a folder that is there."""
    from compat.engine.database import locked_writer

    with locked_writer(None, folder, CONFIG) as connection:
        for table in tables:
            _create(connection, table)
            target = str(folder / f"{table.name}.parquet").replace("'", "''")
            connection.execute(f"COPY {_quoted(table.name)} TO '{target}' (FORMAT parquet, COMPRESSION zstd)")


def csv_text(table: Table) -> str:
    """A table as CSV: a header, nothing for what is not known, lists as JSON."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow([column.name for column in table.columns])
    writer.writerows([_csv_cell(cell) for cell in row] for row in table.rows)
    return out.getvalue()


def _create(connection: DuckDBPyConnection, table: Table) -> None:
    columns = ", ".join(f"{_quoted(c.name)} {SQL_TYPE[c.type]}" for c in table.columns)
    connection.execute(f"CREATE TABLE {_quoted(table.name)} ({columns})")
    if table.rows:
        # Handed over column by column, each as one list, which is far quicker than row by row.
        lists = ", ".join(f"unnest(?::{SQL_TYPE[c.type]}[], max_depth := 1)" for c in table.columns)
        values = [list(column) for column in zip(*table.rows, strict=True)]
        connection.execute(f"INSERT INTO {_quoted(table.name)} SELECT {lists}", values)
    for statement in _comments(table):
        connection.execute(statement)


def _comments(table: Table) -> Iterator[str]:
    yield f"COMMENT ON TABLE {_quoted(table.name)} IS {_literal(table.meaning)}"
    for column in table.columns:
        name = f"{_quoted(table.name)}.{_quoted(column.name)}"
        yield f"COMMENT ON COLUMN {name} IS {_literal(column.meaning)}"


def _quoted(name: str) -> str:
    return '"' + name.replace('"', '""') + '"'


def _literal(text: str) -> str:
    return "'" + text.replace("'", "''") + "'"


def _csv_cell(cell: Cell) -> Cell:
    if isinstance(cell, bool):
        return "true" if cell else "false"
    return json.dumps(cell, ensure_ascii=False) if isinstance(cell, list) else cell
