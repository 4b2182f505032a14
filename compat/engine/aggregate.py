"""Values of many rows joined into one: the ways in which a circuit or a line gathers a trait.

One unknown row makes the result unknown, wherever it could change it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from compat.engine.members import Member, finite
from compat.model.values import UNKNOWN, Content, Interval, TokenSet
from compat.model.vocabulary import TraitDefinition, Vocabulary

# Stated for the whole, or made by physics: not joined from rows.
NOT_JOINED = ("column", "line", "computed")
# Of one row these stay the same whatever its quantity.
STANDING = ("column", "types", "greatest", "least", "all", "any", "some", "every")


def moves_with_quantity(definition: TraitDefinition) -> bool:
    """Whether a trait of a circuit of one row may change with the quantity of that row."""
    return definition.gather not in STANDING


def joined_values(subject: str, members: Sequence[Member], vocabulary: Vocabulary) -> dict[str, Content]:
    """Every trait of a subject that is joined from rows, by full name. At least one row is needed."""
    return {
        definition.full_name: joined(definition, members, vocabulary)
        for definition in vocabulary.of_subject(subject)
        if definition.gather not in NOT_JOINED
    }


def joined(definition: TraitDefinition, members: Sequence[Member], vocabulary: Vocabulary) -> Content:
    """One trait joined from rows, of which there is at least one."""
    if definition.gather == "count":
        total = float(sum(member.row.quantity for member in members))
        return Interval(total, total)
    if definition.gather == "types":
        named = {member.row.driver_id for member in members if member.row.driver_id}
        surely = max(1, len(named))
        return Interval(float(surely), float(max(surely, len({kind_of(member) for member in members}))))
    source = vocabulary.traits[definition.gathered_from]
    contents = [member.traits.get(source.name, UNKNOWN).content for member in members]
    if definition.kind == "set":
        return _joined_sets(definition.gather, contents, frozenset(vocabulary.values_of(source)))
    if definition.kind == "yes_no":
        return _joined_yes_no(definition.gather, contents)
    quantities = [content for content in contents if isinstance(content, Interval)]
    if len(quantities) < len(contents):
        return None
    counts = [member.row.quantity for member in members]
    return finite(*QUANTITY_GATHERS[definition.gather](quantities, counts))


def kind_of(member: Member) -> object:
    """What shows that two rows have the same type of driver: the driver id or the luminaire type, and
    all that the rows state. Rows that show neither may be of different types.
    """
    stated = tuple(sorted((name, repr(trait.content)) for name, trait in member.row.driver_traits.items()))
    name = member.row.driver_id or member.row.luminaire_type
    return (name, stated) if name else member.row.number


Ends = tuple[float, float]
Quantities = Sequence[Interval]


def _sum(values: Quantities, counts: Sequence[int]) -> Ends:
    pairs = list(zip(values, counts, strict=True))
    return math.fsum(v.low * n for v, n in pairs), math.fsum(v.high * n for v, n in pairs)


def _largest_to_sum(values: Quantities, counts: Sequence[int]) -> Ends:
    return max(value.low for value in values), _sum(values, counts)[1]


QUANTITY_GATHERS: dict[str, Callable[[Quantities, Sequence[int]], Ends]] = {
    "sum": _sum,
    "greatest": lambda values, _: (max(v.low for v in values), max(v.high for v in values)),
    "least": lambda values, _: (min(v.low for v in values), min(v.high for v in values)),
    "largest_to_sum": _largest_to_sum,
}


def _joined_sets(gather: str, contents: Sequence[Content], every: frozenset[str]) -> TokenSet:
    sets = [_as_set(content, every) for content in contents]
    sure, possible = sets[0].sure, sets[0].possible
    for tokens in sets[1:]:
        if gather == "some":
            sure, possible = sure | tokens.sure, possible | tokens.possible
        else:
            sure, possible = sure & tokens.sure, possible & tokens.possible
    return TokenSet(sure, possible)


def _as_set(content: Content, every: frozenset[str]) -> TokenSet:
    if isinstance(content, TokenSet):
        return content
    if isinstance(content, str):
        return TokenSet.exactly(content)
    return TokenSet(frozenset(), every)


def _joined_yes_no(gather: str, contents: Sequence[Content]) -> bool | None:
    decisive = gather == "any"
    if any(content is decisive for content in contents):
        return decisive
    return None if any(content is None for content in contents) else not decisive
