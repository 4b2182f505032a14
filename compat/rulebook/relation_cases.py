"""The cases of a relation, run beside all others of the dataset."""

from __future__ import annotations

import math
from collections.abc import Iterator

from compat.dataset.values import ValueFault, content_of
from compat.model.relation import RelationCase
from compat.model.values import Content, Interval
from compat.rulebook.follows import Follower
from compat.rulebook.relations import ParsedRelation

# Known for certain: of the supply, and how many there are.
CERTAIN = ("supply.", "circuit.driver_count")


def case_faults(relation: ParsedRelation, case: RelationCase, follower: Follower) -> Iterator[str]:
    """What a case expects and does not get, in words; empty when all is as expected."""
    try:
        given = _contents(case.given, follower)
        expected = _contents(case.follows, follower)
    except ValueFault as error:
        yield f"it cannot be read: {error}"
        return
    if not case.follows and not case.contradicts:
        yield "it expects nothing: give follows or contradicts"
    certain = {name: content for name, content in given.items() if name.startswith(CERTAIN)}
    stated = {name: content for name, content in given.items() if name not in certain}
    jurisdiction = next(iter(relation.relation.jurisdictions), "")
    found = follower.follow([stated], certain, case.text, jurisdiction)
    if bool(found.conflicts) != case.contradicts:
        told = ", ".join(" with ".join(conflict.relations) for conflict in found.conflicts) or "none"
        yield f"contradictions found: {told}"
    for name, content in expected.items():
        got = found.values.get(name, given.get(name))
        if not _alike(content, got):
            yield f"{name}: expected {content}, found {got}"


def _contents(values: dict[str, object], follower: Follower) -> dict[str, Content]:
    traits = follower.vocabulary.traits
    unknown = [name for name in values if name not in traits]
    if unknown:
        raise ValueFault(f"'{unknown[0]}' is not in the vocabulary")
    return {name: content_of(value, traits[name], follower.vocabulary) for name, value in values.items()}


def _alike(expected: Content, got: Content) -> bool:
    if isinstance(expected, Interval) and isinstance(got, Interval):
        ends = ((expected.low, got.low), (expected.high, got.high))
        return all(math.isclose(one, other, rel_tol=1e-9, abs_tol=1e-12) for one, other in ends)
    return expected == got
