"""Four truth values and how they join: no, unknown, either (depends on the end), yes.

The codes are chosen so that ``and`` is the lesser of two. An unknown outranks an either, so that
an unknown is never hidden by a tolerance.
"""

from __future__ import annotations

from typing import Final

from compat.model.verdicts import RANK, VERDICTS, Verdict

NO: Final = 0
UNKNOWN: Final = 1
EITHER: Final = 2
YES: Final = 3
CODES: Final = (NO, UNKNOWN, EITHER, YES)
# The codes in another order, in which ``or`` is the greater of two; the place is the code.
OR_ORDER: Final = (0, 2, 1, 3)


def negated(code: int) -> int:
    """The contrary: yes and no change places."""
    return YES - code if code in (NO, YES) else code


def both(left: int, right: int) -> int:
    """``left and right``."""
    return min(left, right)


def either(left: int, right: int) -> int:
    """``left or right``."""
    if YES in (left, right):
        return YES
    return max(left, right) if NO in (left, right) else min(left, right)


def verdict_of(code: int, breach: Verdict) -> Verdict:
    """The verdict of a rule whose condition has this truth value.

    A hazard must be shown to be absent, so an either counts as unproven there.
    """
    if code == YES:
        return "works"
    if code == NO:
        return breach
    if code == EITHER and breach != "hazard":
        return "marginal"
    return "unproven"


def rank_of(code: int, breach: Verdict) -> int:
    """The rank of :func:`verdict_of`, as the engine stores it."""
    return RANK[verdict_of(code, breach)]


assert VERDICTS[0] == "works"
