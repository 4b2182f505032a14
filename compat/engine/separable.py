"""Rules whose demand lies on one subject and whose limit on the other.

Each side is folded into two columns once, so that the pairing only compares columns: one that must
hold, one that shows a sure breach, and the key for all between. A side that the rule surely does not
apply to is folded so that it always holds; a side not known, so that it neither holds nor breaks.
"""

from __future__ import annotations

from dataclasses import dataclass

from compat.engine.keys import key_of
from compat.model.verdicts import Verdict
from compat.rulebook.nodes import QuantityNode, TruthNode
from compat.rulebook.sql import INFINITE, MINUS_INFINITE, Stage, slackened
from compat.rulebook.truth import EITHER, NO, UNKNOWN, YES


@dataclass(frozen=True, slots=True)
class Side:
    """The columns of one side of ``left <= right``."""

    holds: str
    breaks: str
    between: str

    def columns(self) -> tuple[str, str, str]:
        """The three columns."""
        return self.holds, self.breaks, self.between


def left_side(stage: Stage, node: QuantityNode, applies: TruthNode, breach: Verdict, place: int) -> Side:
    """The side that must not be greater."""
    low, high = stage.quantity(node)
    code = stage.truth(applies)
    holds = (
        f"CASE WHEN {code} = {NO} THEN {MINUS_INFINITE} WHEN {high} IS NULL THEN {INFINITE} ELSE {high} END"
    )
    breaks = f"CASE WHEN {code} = {YES} AND {low} IS NOT NULL THEN {low} ELSE {MINUS_INFINITE} END"
    return _side(stage, holds, breaks, low, high, code, breach, place)


def right_side(stage: Stage, node: QuantityNode, applies: TruthNode, breach: Verdict, place: int) -> Side:
    """The side that must not be less; the tolerance is added here, once."""
    low, high = stage.quantity(node)
    code = stage.truth(applies)
    known = f"WHEN {low} IS NULL THEN {MINUS_INFINITE} ELSE {slackened(low)}"
    holds = f"CASE WHEN {code} = {NO} THEN {INFINITE} {known} END"
    breaks = f"CASE WHEN {code} = {YES} AND {high} IS NOT NULL THEN {slackened(high)} ELSE {INFINITE} END"
    return _side(stage, holds, breaks, low, high, code, breach, place)


def compared_sql(left: Side, right: Side, breach: Verdict, place: int) -> str:
    """SQL of the key of one rule for one pairing."""
    broken = key_of(NO, breach, place)
    return (
        f"CASE WHEN {left.holds} <= {right.holds} THEN 0::SMALLINT "
        f"WHEN {left.breaks} > {right.breaks} THEN {broken}::SMALLINT "
        f"ELSE greatest({left.between}, {right.between}) END"
    )


def _side(
    stage: Stage, holds: str, breaks: str, low: str, high: str, code: str, breach: Verdict, place: int
) -> Side:
    unknown, between = key_of(UNKNOWN, breach, place), key_of(EITHER, breach, place)
    key = f"(CASE WHEN {low} IS NULL OR {code} = {UNKNOWN} THEN {unknown} ELSE {between} END)::SMALLINT"
    return Side(
        stage.add(holds, low, high, code), stage.add(breaks, low, high, code), stage.add(key, low, high, code)
    )
