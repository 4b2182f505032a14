"""Staged DuckDB queries: each computed value becomes a column, so no formula is written twice.

Scalar macros are expanded as text and a nested iteration in them takes seconds to plan; a chain of
subqueries takes milliseconds. The text of a query is made of constants of this package and of
column names that were checked, never of anything a user wrote.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from compat.physics.ranges import Range

# A filter or LIMIT on an output is moved by DuckDB's optimizer down through the stages, which writes
# every stage out inside the next and exhausts the memory (seen with DuckDB 2.0). It must not do so
# past a volatile value, so one stands before the outputs; it is never NULL and changes nothing. Of the
# volatile functions this one gives one value for a whole vector, where random() costs 6 ns a row.
_BARRIER = "_barrier"
VOLATILE = "current_query_id"
_NAME = re.compile(r"[A-Za-z][A-Za-z0-9_]{0,62}")


@dataclass(frozen=True, slots=True)
class StagedQuery:
    """A formula over the rows of a relation.

    ``inputs`` gives the roles of the DOUBLE columns it reads and their ranges, ``words`` the roles
    of VARCHAR columns. Expressions of ``stages`` and ``outputs`` name a value by a leading
    underscore: ``_peak_a``. A row with an input that is NULL, NaN, infinite or out of range has
    NULL in every output that needs it.
    """

    inputs: Mapping[str, Range]
    stages: Sequence[Mapping[str, str]]
    outputs: Mapping[str, str]
    words: tuple[str, ...] = field(default=())

    def over(
        self,
        relation: str,
        columns: Mapping[str, str] | None = None,
        outputs: Mapping[str, str] | None = None,
    ) -> str:
        """The SELECT that adds the outputs to all columns of ``relation``.

        ``columns`` maps a role of the inputs to the column that holds it, where their names
        differ; ``outputs`` maps a role of the outputs to the column to make, and when it is given
        only those are made. ``relation`` must have no column that starts with an underscore.
        Raises ValueError for a name that is not letters, digits and underscores starting with a
        letter (at most 63), and for a role that does not exist.
        """
        columns = dict(columns or {})
        _known(columns, (*self.inputs, *self.words), "input")
        named = {role: role for role in self.outputs} if outputs is None else dict(outputs)
        _known(named, self.outputs, "output")
        first = {
            f"_{role}": guarded(identifier(columns.get(role, role)), allowed)
            for role, allowed in self.inputs.items()
        }
        first |= {f"_{role}": identifier(columns.get(role, role)) for role in self.words}
        text = identifier(relation)
        inner: dict[str, None] = {}
        for count, stage in enumerate((first, *self.stages, {_BARRIER: f"{VOLATILE}()"})):
            text = _stage(text, stage, [name for name in stage if name in inner], count)
            inner |= dict.fromkeys(stage)
        made = ", ".join(
            f"CASE WHEN {_BARRIER} IS NOT NULL THEN {self.outputs[role]} END AS {identifier(name)}"
            for role, name in named.items()
        )
        return f"SELECT * EXCLUDE ({', '.join(inner)}), {made} FROM {text}"


def _stage(source: str, stage: Mapping[str, str], again: Sequence[str], count: int) -> str:
    star = f"* EXCLUDE ({', '.join(again)})" if again else "*"
    made = ", ".join(f"{expression} AS {name}" for name, expression in stage.items())
    return f"(SELECT {star}, {made} FROM {source}) AS _stage_{count}"


def _known(given: Mapping[str, str], roles: Iterable[str], kind: str) -> None:
    roles = list(roles)
    for role in given:
        if role not in roles:
            raise ValueError(f"{role!r} is no {kind} here; there are {', '.join(roles)}")


def identifier(name: str) -> str:
    """A column or relation name in double quotes; raises ValueError when it is not a plain one."""
    if not _NAME.fullmatch(name):
        raise ValueError(
            f"{name!r} cannot name a column; allowed are letters, digits and underscores, "
            "a letter first, at most 63"
        )
    return f'"{name}"'


def number(value: float) -> str:
    """A DOUBLE literal; without the exponent DuckDB would read a DECIMAL. Raises ValueError."""
    if not math.isfinite(value):
        raise ValueError(f"{value!r} cannot stand in a query; a finite number is needed")
    text = repr(float(value))
    literal = text if "e" in text else f"{text}e0"
    return f"({literal})" if value < 0 else literal


def guarded(column: str, allowed: Range) -> str:
    """The column where it is inside its range, else NULL; DuckDB sorts NaN above all numbers, so
    two comparisons with finite ends also keep out NaN and the infinities."""
    above = ">=" if allowed.low_allowed else ">"
    return (
        f"CASE WHEN {column} {above} {number(allowed.low)} "
        f"AND {column} <= {number(allowed.high)} THEN {column} END"
    )


def polynomial_text(coefficients: Sequence[float], variable: str) -> str:
    """A polynomial, constant term first, by nested multiplication."""
    text = number(coefficients[-1])
    for coefficient in reversed(coefficients[:-1]):
        text = f"({number(coefficient)} + {variable} * {text})"
    return text


def larger(first: str, second: str) -> str:
    """The larger of two values, NULL when either is; ``greatest`` would skip a NULL."""
    return f"CASE WHEN {first} >= {second} THEN {first} WHEN {first} < {second} THEN {second} END"


def smaller(first: str, second: str) -> str:
    """The smaller of two values, NULL when either is."""
    return f"CASE WHEN {first} <= {second} THEN {first} WHEN {first} > {second} THEN {second} END"


def every(aggregate: str, column: str, name: str = "") -> str:
    """An aggregate that is NULL as soon as one row is; DuckDB's own skips NULLs."""
    return f"CASE WHEN count(*) = count({column}) THEN {aggregate}({column}) END AS {name or column}"
