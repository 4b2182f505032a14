"""One number for a verdict and the rule that decided it, so that the greatest number is the answer.

key = rank of the verdict x 1024 + 1023 - place of the rule; 0 when every rule holds. Of rules with
the same verdict the first in telling order (precedence, then id) wins.
"""

from __future__ import annotations

from compat.model.verdicts import VERDICTS, Verdict
from compat.rulebook.truth import EITHER, NO, UNKNOWN, YES, rank_of

MOST_RULES = 1024
ALL_HOLD = 0


def key_of(code: int, breach: Verdict, place: int) -> int:
    """The key of a rule at a place in telling order, for a truth code."""
    rank = rank_of(code, breach)
    return rank * MOST_RULES + MOST_RULES - 1 - place if rank else ALL_HOLD


def verdict_and_place(key: int) -> tuple[Verdict, int | None]:
    """The verdict of a key and the place of the deciding rule, None when every rule holds."""
    if key == ALL_HOLD:
        return "works", None
    rank, rest = divmod(key, MOST_RULES)
    return VERDICTS[rank], MOST_RULES - 1 - rest


def key_sql(code: str, breach: Verdict, place: int) -> str:
    """SQL that turns a column of truth codes into keys."""
    arms = " ".join(f"WHEN {value} THEN {key_of(value, breach, place)}" for value in (YES, NO, UNKNOWN))
    return f"(CASE {code} {arms} ELSE {key_of(EITHER, breach, place)} END)::SMALLINT"
