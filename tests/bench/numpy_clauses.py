"""The join of demands and allowances with NumPy, clause by clause: a third form, to measure and hold against.

Circuits lie along the first axis and outputs along the second. An unknown quantity is NaN at both ends.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from compat.engine.join import MOST_RULES, RuleClauses, gravest_first
from compat.engine.subject import CircuitSubject, OutputSubject, Pairing
from compat.model.values import Interval
from compat.rulebook.clauses import Clause, Value
from compat.rulebook.rules import ParsedRule
from compat.rulebook.truth import CODES, OR_ORDER, YES

Array = npt.NDArray[Any]
# Codes in the order in which ``or`` is the greatest: no, either, unknown, yes; and back.
TO_OR = np.array(OR_ORDER, dtype=np.uint8)
FROM_OR = np.argsort(TO_OR).astype(np.uint8)
NO, EITHER, UNKNOWN, SURE = range(4)


@dataclass(frozen=True, slots=True)
class Sides:
    """A clause over all subjects: codes of both sides, values of each comparison, and what needs both."""

    demand: Array
    allowance: Array
    values: tuple[tuple[tuple[Array, Array], tuple[Array, Array]], ...]
    mixed: Array | None


def sides_of(clause: Clause, circuits: Sequence[CircuitSubject], outputs: Sequence[OutputSubject]) -> Sides:
    """What the subjects give to a clause, as arrays."""
    asked = [circuit.side(clause) for circuit in circuits]
    allowed = [output.side(clause) for output in outputs]
    values = tuple(
        (
            _ends([side.values[place] for side in asked], part.of_sets),
            _ends([side.values[place] for side in allowed], part.of_sets),
        )
        for place, part in enumerate(clause.comparisons)
    )
    mixed = None
    if clause.mixed is not None:
        node = clause.mixed
        codes = [[Pairing(circuit, output).mixed(node) for output in outputs] for circuit in circuits]
        mixed = TO_OR[np.array(codes, dtype=np.uint8)]
    return Sides(_codes(side.holds for side in asked), _codes(side.holds for side in allowed), values, mixed)


def _codes(codes: Any) -> Array:
    return TO_OR[np.fromiter(codes, dtype=np.uint8)]


def _ends(values: Sequence[Value], of_sets: bool) -> tuple[Array, Array]:
    if of_sets:
        pairs = np.array(values, dtype=np.int64).reshape(-1, 2)
    else:
        ends = [(v.low, v.high) if isinstance(v, Interval) else (np.nan, np.nan) for v in values]
        pairs = np.array(ends, dtype=np.float64).reshape(-1, 2)
    return pairs[:, 0], pairs[:, 1]


def keys_by_numpy(rules: Sequence[ParsedRule], sides: dict[int, Sides]) -> Array:
    """The key of every circuit on every output; ``sides`` by the identity of the clause.

    Circuits that ask the same by a rule are compared once, and so are outputs that allow the same.
    """
    keys: Array | None = None
    for rule in gravest_first(rules):
        of_clauses = [sides[id(clause)] for clause in rule.clauses]
        whole = any(one.mixed is not None for one in of_clauses)
        asking, circuits = _alike([(one.demand, *(pair[0] for pair in one.values)) for one in of_clauses])
        allowing, outputs = _alike([(one.allowance, *(pair[1] for pair in one.values)) for one in of_clauses])
        code: Array | None = None
        for clause, one in zip(rule.clauses, of_clauses, strict=True):
            few = _clause(clause, _of(one, asking, allowing))
            found = few[circuits][:, outputs] if whole else few
            if one.mixed is not None:
                found = np.maximum(found, one.mixed)
            code = FROM_OR[found] if code is None else np.minimum(code, FROM_OR[found])
        assert code is not None
        of_rule = _keys(rule)[code]
        if not whole:
            of_rule = of_rule[circuits][:, outputs]
        keys = of_rule if keys is None else np.maximum(keys, of_rule)
    assert keys is not None
    return keys


def _alike(of_clauses: Sequence[tuple[Any, ...]]) -> tuple[Array, Array]:
    """The places of the first subject of each kind, and the kind of each subject."""
    columns = [np.asarray(codes, dtype=np.float64) for codes, *_ in of_clauses]
    columns += [
        np.asarray(end, dtype=np.float64) for _, *values in of_clauses for pair in values for end in pair
    ]
    _, first, kinds = np.unique(np.stack(columns, 1), axis=0, return_index=True, return_inverse=True)
    return first, kinds.reshape(-1)


def _of(sides: Sides, circuits: Array, outputs: Array) -> Sides:
    """Some circuits and outputs of the sides, without what needs both."""
    values = tuple(
        ((asked[0][circuits], asked[1][circuits]), (allowed[0][outputs], allowed[1][outputs]))
        for asked, allowed in sides.values
    )
    return Sides(sides.demand[circuits], sides.allowance[outputs], values, None)


def _keys(rule: RuleClauses) -> Array:
    assert max(rule.keys) < MOST_RULES * len(CODES) * 2
    return np.array(rule.keys, dtype=np.int16 if max(rule.keys) < 2**15 else np.int32)


def _clause(clause: Clause, sides: Sides) -> Array:
    code = np.maximum(sides.demand[:, None], sides.allowance[None, :])
    for part, (demand, allowance) in zip(clause.comparisons, sides.values, strict=True):
        asked, allowed = [end[:, None] for end in demand], [end[None, :] for end in allowance]
        left, right = (asked, allowed) if part.demand_is_left else (allowed, asked)
        found = _within(left, right) if part.of_sets else _at_most(left, right)
        if part.negated:
            found = np.where((found == NO) | (found == SURE), SURE - found, found)
        code = np.maximum(code, found)
    return code


def _at_most(left: list[Array], right: list[Array]) -> Array:
    holds, breaks = (end + 1e-9 * np.abs(end) for end in right)
    found = np.where(np.isnan(left[0]) | np.isnan(holds), np.uint8(UNKNOWN), np.uint8(EITHER))
    found[left[0] > breaks] = NO
    found[left[1] <= holds] = SURE
    return found


def _within(left: list[Array], right: list[Array]) -> Array:
    found = np.where((left[0] & ~right[1]) != 0, np.uint8(NO), np.uint8(UNKNOWN))
    found[(left[1] & ~right[0]) == 0] = SURE
    return found


assert FROM_OR[SURE] == YES
