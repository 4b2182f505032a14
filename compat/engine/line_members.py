"""Which drivers of a line accept its method at all."""

from __future__ import annotations

from collections.abc import Sequence

from compat.engine.line_stated import KIND_OF_METHOD
from compat.engine.members import Member
from compat.model.values import UNKNOWN, Content, Interval, TokenSet

REFUSING = "line.refusing_drivers"


def accepting(members: Sequence[Member], kind: Content) -> tuple[Member, ...]:
    """The rows whose drivers accept the method of a kind of line, or may; all where the kind is not known."""
    methods = [method for method, of_kind in KIND_OF_METHOD.items() if of_kind == kind]
    return tuple(member for member in members if not methods or _may_accept(member, methods[0]))


def refusing_drivers(members: Sequence[Member], kind: Content) -> Interval:
    """How many drivers surely do not accept the method of a kind of line."""
    taken = sum(member.row.quantity for member in accepting(members, kind))
    count = float(sum(member.row.quantity for member in members) - taken)
    return Interval(count, count)


def _may_accept(member: Member, method: str) -> bool:
    methods = member.traits.get("methods", UNKNOWN).content
    return not isinstance(methods, TokenSet) or method in methods.possible
