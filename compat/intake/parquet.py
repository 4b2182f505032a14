"""A Parquet file as rows of texts, read in a process of its own."""

from __future__ import annotations

import io
from typing import Any

from compat.intake import limits
from compat.intake.cells import Flaw, Grid
from compat.intake.child import Refused, packed, read_in_child, unpacked
from compat.intake.keyed import keyed_grid, texts_of
from compat.model.faults import Fault
from compat.model.values import Origin

_SPLIT = "Split the schedule into several files"


def read_parquet(data: bytes, file: str) -> tuple[list[Grid], list[str]]:
    """A Parquet file as one grid. Raises BadInput when it cannot be read or is too large."""
    do = "Write it again, or save the schedule as CSV"
    answer = read_in_child("parquet", data, file, Fault("the Parquet file is damaged", Origin(file), do=do))
    rows = [[unpacked(text) for text in row] for row in answer["rows"]]
    flaws = {(row, column): Flaw(what, do) for row, column, what, do in answer["flaws"]}
    return [keyed_grid(answer["keys"], rows, flaws, file)], []


def parquet_data(data: bytes) -> dict[str, Any]:
    """In the child: keys, rows of texts and flaws. Raises Refused, or whatever a damaged file causes."""
    import polars  # 100 ms to import, and few schedules need it

    schema = polars.read_parquet_schema(io.BytesIO(data))
    if len(schema) > limits.COLUMNS:
        raise Refused(f"the file has more than {limits.COLUMNS} columns", "", _SPLIT)
    frame = polars.read_parquet(io.BytesIO(data), n_rows=limits.ROWS + 1)
    texts = frame.select(polars.col(polars.String).str.len_bytes().sum())
    if texts.width and sum(count or 0 for count in texts.row(0)) > limits.UNPACKED_BYTES:
        raise Refused("the file holds too much text", "", _SPLIT)
    if frame.height > limits.ROWS:
        raise Refused(f"the file has more than {limits.ROWS} rows", "", _SPLIT)
    rows, flaws = texts_of(frame.columns, frame.iter_rows(named=True))
    return {
        "keys": frame.columns,
        "rows": [[packed(text) for text in row] for row in rows],
        "flaws": [[row, column, flaw.what, flaw.do] for (row, column), flaw in flaws.items()],
    }
