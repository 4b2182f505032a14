"""Expressions evaluated the two ways: one row at a time in plain Python, and all rows in the database."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import duckdb

from compat.engine.frames import columns_of
from compat.engine.handover import columns_into_database
from compat.model.values import Content, Interval
from compat.model.vocabulary import Vocabulary
from compat.rulebook import nodes
from compat.rulebook.cases import evaluation
from compat.rulebook.expression import Reader
from compat.rulebook.nodes import QuantityNode, TruthNode
from compat.rulebook.sql import Stage

Row = Mapping[str, Content]
Ends = tuple[float | None, float | None]
SUBJECTS = ("circuit", "output", "supply", "driver", "breaker", "cable", "source_impedance")


def reader(vocabulary: Vocabulary) -> Reader:
    """A reader that may use every subject."""
    return Reader(vocabulary, SUBJECTS)


def exact(value: float) -> Interval:
    """An interval of one figure."""
    return Interval(value, value)


def reference_truths(tree: TruthNode, rows: Sequence[Row], vocabulary: Vocabulary) -> list[int]:
    """The truth codes by the plain-Python form."""
    return [evaluation(row, vocabulary).truth(tree) for row in rows]


def database_truths(
    tree: TruthNode,
    rows: Sequence[Row],
    vocabulary: Vocabulary,
    connection: duckdb.DuckDBPyConnection,
    inline: bool = False,
) -> list[int]:
    """The truth codes by the compiled SQL, layer by layer or in one line."""
    columns = put_into_database(tree, rows, vocabulary, connection)
    stage = Stage("x", inline=inline)
    code = stage.truth(tree)
    relation = stage.over("given", columns if inline else ["row_index", code])
    found = connection.execute(f"SELECT {code} FROM {relation} ORDER BY row_index").fetchall()
    return [truth for (truth,) in found]


def reference_ends(tree: QuantityNode, rows: Sequence[Row], vocabulary: Vocabulary) -> list[Ends]:
    """The low and high ends by the plain-Python form, both None where it is not known."""
    found = (evaluation(row, vocabulary).quantity(tree) for row in rows)
    return [(interval.low, interval.high) if interval else (None, None) for interval in found]


def database_ends(
    tree: QuantityNode, rows: Sequence[Row], vocabulary: Vocabulary, connection: duckdb.DuckDBPyConnection
) -> list[Ends]:
    """The low and high ends by the compiled SQL."""
    put_into_database(tree, rows, vocabulary, connection)
    stage = Stage("x")
    low, high = stage.quantity(tree)
    relation = stage.over("given", ["row_index", low, high])
    return connection.execute(f"SELECT {low}, {high} FROM {relation} ORDER BY row_index").fetchall()


def put_into_database(
    tree: nodes.Node, rows: Sequence[Row], vocabulary: Vocabulary, connection: duckdb.DuckDBPyConnection
) -> list[str]:
    """Make the table ``given`` of the traits that a tree uses; its columns."""
    columns = columns_of(rows, nodes.names(tree), vocabulary, "row_index")
    columns_into_database(connection, "given", columns)
    return list(columns)
