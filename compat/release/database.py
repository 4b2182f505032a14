"""The tables of a release as one DuckDB file and as Parquet; the same bytes for the same tables.

DuckDB gives every new file a random identifier of 16 bytes. It stands in the main header, the first
4096 bytes of the file, and the header has a checksum in front; nothing else differs between two
files that are made by the same steps in one thread under the same name (seen by comparing files of
DuckDB 2.0.1). For a reproducible build the identifier is set to one that follows from the content of the
dataset, and the checksum to that of the new header. The old checksum is worked out first: where it does
not come out, the header is laid out otherwise than we know, and the file is refused.
"""

from __future__ import annotations

import struct
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from compat.model.faults import BadInput, Fault
from compat.model.values import Origin
from compat.release.table import Table

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
HEADER_BYTES = 4096
MAGIC_AT, MAGIC = 8, b"DUCK"
IDENTIFIER_AT, IDENTIFIER_BYTES = 124, 16
SEED, FACTOR, MASK = 5381, 0xBF58476D1CE4E5B9, (1 << 64) - 1


class UnknownLayout(ValueError):
    """The file is not laid out as this module knows it."""


Macros = Mapping[str, tuple[str, str]]


def write_database(path: Path, tables: Sequence[Table], sha256: str, macros: Macros) -> None:
    """Write the DuckDB file, with the meaning of each table and column as its comment.

    ``macros`` are table macros by name: the statement that makes one, and its meaning.
    ``sha256`` is the hash of the dataset, from which the identifier of the file is taken. The name
    of the file is part of its content. Raises BadInput when this DuckDB lays out files otherwise.
    """
    import duckdb

    from compat.engine.database import locked_writer

    with locked_writer(path, path.parent, CONFIG) as connection:
        connection.execute("BEGIN")
        for table in tables:
            _create(connection, table)
        for name, (statement, meaning) in macros.items():
            connection.execute(statement)
            connection.execute(f"COMMENT ON MACRO TABLE {_quoted(name)} IS {_literal(meaning)}")
        connection.execute("COMMIT")
        connection.execute("CHECKPOINT")
    try:
        path.write_bytes(with_identifier(path.read_bytes(), bytes.fromhex(sha256)[:IDENTIFIER_BYTES]))
    except UnknownLayout as error:
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


def with_identifier(file: bytes, identifier: bytes) -> bytes:
    """A DuckDB file with this identifier (16 bytes) in place of its random one. Raises UnknownLayout."""
    header = bytearray(file[:HEADER_BYTES])
    if len(identifier) != IDENTIFIER_BYTES:
        raise ValueError(f"an identifier has {IDENTIFIER_BYTES} bytes, not {len(identifier)}")
    if len(header) < HEADER_BYTES or header[MAGIC_AT : MAGIC_AT + len(MAGIC)] != MAGIC:
        raise UnknownLayout("this is no DuckDB file")
    if struct.unpack_from("<Q", header)[0] != _checksum(header):
        raise UnknownLayout("the header of the DuckDB file has a checksum of another kind")
    header[IDENTIFIER_AT : IDENTIFIER_AT + IDENTIFIER_BYTES] = identifier
    struct.pack_into("<Q", header, 0, _checksum(header))
    return bytes(header) + file[HEADER_BYTES:]


def _checksum(header: bytes | bytearray) -> int:
    """The checksum over all of a header but its first 8 bytes, as DuckDB reckons it."""
    result = SEED
    for (word,) in struct.iter_unpack("<Q", header[8:]):
        result ^= word * FACTOR & MASK
    return result
