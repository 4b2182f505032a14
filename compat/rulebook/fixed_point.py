"""Relations run on a box of values until nothing changes, and which relation set which end."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from compat.rulebook.contractor import Contradiction, Domain, Kind, Narrowing, met
from compat.rulebook.relations import ParsedRelation

MOST_ROUNDS = 50
# A change by a smaller share of the value sets nothing in motion, so that endless small steps end.
WORTH = 1e-9

__all__ = ["Contraction", "Contradiction", "contracted"]


@dataclass(slots=True)
class Contraction:
    """A box narrowed, and by id the relations that set each name: of a quantity those of its two ends."""

    box: dict[str, Domain]
    low_set_by: dict[str, str] = field(default_factory=dict)
    high_set_by: dict[str, str] = field(default_factory=dict)
    token_set_by: dict[str, list[str]] = field(default_factory=dict)

    def set_by(self, name: str) -> list[str]:
        """The relations that gave a name what it is, each once."""
        ends = [by[name] for by in (self.low_set_by, self.high_set_by) if name in by]
        return list(dict.fromkeys([*ends, *self.token_set_by.get(name, ())]))


def contracted(
    relations: Sequence[ParsedRelation], box: Mapping[str, Domain], kinds: Mapping[str, Kind]
) -> Contraction:
    """The box narrowed by all relations to a fixed point.

    In each round every relation starts from the same box, so that the order of the relations does not
    matter. Raises Contradiction when nothing is left of a value.
    """
    done = Contraction(dict(box))
    active = list(relations)
    for _ in range(MOST_ROUNDS):
        changed: dict[str, Domain] = {}
        for relation in active:
            narrowing = Narrowing(done.box, kinds)
            narrowing.require(relation.condition, True)
            for name, domain in narrowing.found.items():
                _note(done, name, domain, relation.relation.id, changed)
        moved = {name for name, domain in changed.items() if _is_worth(done.box[name], domain)}
        done.box.update(changed)
        active = [relation for relation in relations if not moved.isdisjoint(relation.names)]
        if not active:
            break
    return done


def _note(done: Contraction, name: str, domain: Domain, relation: str, changed: dict[str, Domain]) -> None:
    """Meet what relations found in one round; of two that set the same end the lower id is told."""
    before = changed.get(name, done.box[name])
    after = met(before, domain)
    changed[name] = after
    if isinstance(after, int) or isinstance(after[0], int):
        told = done.token_set_by.setdefault(name, [])
        if relation not in told:
            told.append(relation)
            told.sort()
        return
    assert isinstance(domain, tuple)
    start = done.box[name]
    assert isinstance(before, tuple)
    assert isinstance(start, tuple)
    for end, by, better in (
        (0, done.low_set_by, domain[0] > before[0]),
        (1, done.high_set_by, domain[1] < before[1]),
    ):
        equal = domain[end] == before[end] != start[end]
        if better or (equal and relation < by[name]):
            by[name] = relation


def _is_worth(old: Domain, new: Domain) -> bool:
    if isinstance(old, int) or isinstance(new, int) or isinstance(old[0], int):
        return old != new
    return any(
        before != after and (math.isinf(before) or abs(after - before) > WORTH * abs(before))
        for before, after in zip(old, new, strict=True)
    )
