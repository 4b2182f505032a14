"""Rows with named values, as JSON and Parquet hold them, as grids."""

from __future__ import annotations

import io
import json
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from compat.intake import limits
from compat.intake.cells import DateText, Flaw, Grid, NumberText, clean, flaw_of, printable, to_text
from compat.intake.child import Refused, packed, read_in_child, unpacked
from compat.intake.encoding import decode
from compat.model.faults import BadInput, Fault, did_you_mean
from compat.model.values import Origin

SPLIT_IT = "Split the schedule into several files"
_SHAPE = "A list of rows, each an object with the headings as keys, or an object with the key rows"
_NESTED = Flaw(
    "the value is nested and cannot be read",
    "Give a number, a text, a list of words, or a list of the lower and the upper number",
)


def read_json(data: bytes, file: str) -> tuple[list[Grid], list[str]]:
    """A JSON file as one grid. Raises BadInput when it is not JSON or not a list of rows."""
    text, notes = decode(data, file)
    if text.count(",") > limits.SHEET_CELLS:
        raise _too_large(file, f"the file has more than {limits.SHEET_CELLS} values")
    try:
        # Numbers stay text, so that 1.10 keeps its zero and 1e400 is judged by the same grammar.
        content = json.loads(
            text,
            object_pairs_hook=_object,
            parse_float=NumberText,
            parse_int=NumberText,
            parse_constant=NumberText,
        )
    except json.JSONDecodeError as error:
        what = f"the file is not JSON: {error.msg} at column {error.colno}"
        where = Origin(file, line=error.lineno)
        raise BadInput([Fault(what, where, do="Mend it there")]) from error
    except RecursionError as error:
        raise BadInput([Fault("the file is nested too deeply", Origin(file), _SHAPE)]) from error
    except _DoubledKey as error:
        what = f"the key '{printable(str(error))}' stands twice in one object"
        raise BadInput([Fault(what, Origin(file), do="Keep one of them")]) from error
    return [_grid(_rows(content, file), file)], notes


def _too_large(file: str, what: str) -> BadInput:
    return BadInput([Fault(what, Origin(file), do=SPLIT_IT)])


class _DoubledKey(Exception):
    pass


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    content = dict(pairs)
    if len(content) < len(pairs):
        counts = Counter(key for key, _ in pairs)
        raise _DoubledKey(next(key for key, count in counts.items() if count > 1))
    return content


def _rows(content: object, file: str) -> Sequence[Mapping[str, object]]:
    if isinstance(content, dict):
        faults = [
            Fault(f"the key '{printable(key)}' is not known", Origin(file), _SHAPE,
                  did_you_mean(key, ["rows"]))
            for key in content if key != "rows"
        ]  # fmt: skip
        if faults:
            raise BadInput(faults)
        content = content.get("rows")
    if not isinstance(content, list):
        raise BadInput([Fault("the file is not a list of rows", Origin(file), _SHAPE)])
    wrong = [index for index, row in enumerate(content) if not isinstance(row, dict)]
    if wrong:
        where = Origin(file, key=f"rows[{wrong[0]}]")
        raise BadInput([Fault("the row is not an object", where, _SHAPE)])
    return content


def _grid(rows: Sequence[Mapping[str, object]], file: str) -> Grid:
    if not rows:
        raise BadInput([Fault("the file has no rows", Origin(file), _SHAPE)])
    if len(rows) > limits.ROWS:
        raise _too_large(file, f"the file has more than {limits.ROWS} rows")
    keys = list(dict.fromkeys(key for row in rows for key in row))
    if len(keys) > limits.COLUMNS:
        raise _too_large(file, f"the file has more than {limits.COLUMNS} headings")
    if len(keys) * len(rows) > limits.SHEET_CELLS:
        raise _too_large(file, f"the file has more than {limits.SHEET_CELLS} cells")
    cells, flaws = texts_of(keys, rows)
    return keyed_grid(keys, cells, flaws, file)


def texts_of(
    keys: Sequence[str], rows: Iterable[Mapping[str, object]]
) -> tuple[list[list[str]], dict[tuple[int, int], Flaw]]:
    """The values of rows as texts in the order of the keys, and the flaws by row and column from 0."""
    flaws: dict[tuple[int, int], Flaw] = {}
    cells: list[list[str]] = []
    for number, row in enumerate(rows):
        texts: list[str] = []
        for column, key in enumerate(keys):
            try:
                text = _text(row.get(key))
            except TypeError:
                text = "?"
                flaws[number, column] = _NESTED
            if type(text) is not str and (flaw := flaw_of(text)):
                flaws[number, column] = flaw
            texts.append(text)
        cells.append(texts)
    return cells, flaws


def keyed_grid(
    keys: Sequence[str], cells: Sequence[list[str]], flaws: Mapping[tuple[int, int], Flaw], file: str
) -> Grid:
    """A grid whose first row holds the keys; flaws are counted from the row below it."""
    below = {(row + 1, column): flaw for (row, column), flaw in flaws.items()}

    def place(row: int, column: int, heading: str) -> Origin:
        if row == 0:
            return Origin(file, key=f"key {printable(keys[column])}" if keys else None)
        return Origin(file, key=f"rows[{row - 1}].{printable(keys[column])}")

    rows = [list(keys), *cells]
    return Grid(file, rows, range(len(rows)), place, keyed=True, flaws=below)


def _text(value: object) -> str:
    """A value as text; two numbers as a range, words as a list. Raises TypeError when nested."""
    if not isinstance(value, list):
        return to_text(value)
    texts = [to_text(item) for item in value]
    if any(isinstance(text, NumberText | DateText) for text in texts):
        if len(texts) == 2 and all(type(text) is NumberText for text in texts):
            return f"{texts[0]} to {texts[1]}"
        raise TypeError("list")
    return "; ".join(map(clean, texts))


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
        raise Refused(f"the file has more than {limits.COLUMNS} columns", "", SPLIT_IT)
    frame = polars.read_parquet(io.BytesIO(data), n_rows=limits.ROWS + 1)
    texts = frame.select(polars.col(polars.String).str.len_bytes().sum())
    if texts.width and sum(count or 0 for count in texts.row(0)) > limits.UNPACKED_BYTES:
        raise Refused("the file holds too much text", "", SPLIT_IT)
    if frame.height > limits.ROWS:
        raise Refused(f"the file has more than {limits.ROWS} rows", "", SPLIT_IT)
    rows, flaws = texts_of(frame.columns, frame.iter_rows(named=True))
    return {
        "keys": frame.columns,
        "rows": [[packed(text) for text in row] for row in rows],
        "flaws": [[row, column, flaw.what, flaw.do] for (row, column), flaw in flaws.items()],
    }
