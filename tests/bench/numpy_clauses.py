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
    """The key of every circuit on every output; ``sides`` by the identity of the clause."""
    keys: Array | None = None
    for rule in gravest_first(rules):
        code: Array | None = None
        for clause in rule.clauses:
            found = FROM_OR[_clause(clause, sides[id(clause)])]
            code = found if code is None else np.minimum(code, found)
        assert code is not None
        of_rule = _keys(rule)[code]
        keys = of_rule if keys is None else np.maximum(keys, of_rule)
    assert keys is not None
    return keys


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
    return code if sides.mixed is None else np.maximum(code, sides.mixed)


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
