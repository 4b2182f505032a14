"""Stated values that cannot all be true: the least set of relations and values that shows it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from compat.rulebook.boxes import Boxes, Values
from compat.rulebook.contractor import Contradiction, Domain
from compat.rulebook.fixed_point import contracted
from compat.rulebook.relations import ParsedRelation

# Figures on a rating plate are rounded, and its current is often that at another voltage of its range.
# Stated figures contradict each other only where they miss by more. Common practice, no source.
PLATE_TOLERANCE = 0.1


@dataclass(frozen=True, slots=True)
class Conflict:
    """Stated values that cannot all be true, and the relations that say so; none of either is in excess."""

    relations: tuple[str, ...]
    names: tuple[str, ...]


def without_conflicts(
    relations: Sequence[ParsedRelation], base: Mapping[str, Domain], stated: Values, boxes: Boxes
) -> tuple[list[ParsedRelation], tuple[Conflict, ...]]:
    """The relations that stated values do not break, and the contradictions of the others.

    What is only presumed gives way to what is stated without a word.
    """
    kept, conflicts = list(relations), list[Conflict]()
    while _contradict(kept, base, stated, boxes):
        core = _core(kept, base, stated, boxes)
        gone = [relation for relation in core if relation.relation.presumed]
        if not gone:
            gone = core
            conflicts.append(_conflict(core, base, stated, boxes))
        kept = [relation for relation in kept if relation not in gone]
    return kept, tuple(conflicts)


def _contradict(
    relations: Sequence[ParsedRelation], base: Mapping[str, Domain], stated: Values, boxes: Boxes
) -> bool:
    """Whether stated values miss each other by more than a rating plate may."""
    try:
        contracted(relations, boxes.filled(base, stated, PLATE_TOLERANCE), boxes.kinds)
    except Contradiction:
        return True
    return False


def _core(
    relations: Sequence[ParsedRelation], base: Mapping[str, Domain], stated: Values, boxes: Boxes
) -> list[ParsedRelation]:
    """Of relations that contradict a part from which none can be taken away; the shorter of two."""
    forward = sorted(relations, key=lambda relation: relation.relation.id)
    cores = (_needed(order, base, stated, boxes) for order in (forward, forward[::-1]))
    return min(cores, key=len)


def _needed(
    order: Sequence[ParsedRelation], base: Mapping[str, Domain], stated: Values, boxes: Boxes
) -> list[ParsedRelation]:
    """What is left by id when relations are taken away in an order, as long as they contradict."""
    core = list(order)
    for relation in order:
        without = [other for other in core if other is not relation]
        if _contradict(without, base, stated, boxes):
            core = without
    return sorted(core, key=lambda relation: relation.relation.id)


def _conflict(
    core: Sequence[ParsedRelation], base: Mapping[str, Domain], stated: Values, boxes: Boxes
) -> Conflict:
    """A core with the stated values of which none can be left out."""
    used = {name for relation in core for name in relation.names}
    values = {name: content for name, content in sorted(stated.items()) if name in used}
    for name in list(values):
        without = {other: content for other, content in values.items() if other != name}
        if _contradict(core, base, without, boxes):
            values = without
    names = tuple(name for name, content in values.items() if content is not None)
    return Conflict(tuple(relation.relation.id for relation in core), names)
