"""A row with usual values in its gaps: for the expected verdict, which is never a proof."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from compat.dataset.read import Dataset
from compat.engine.members import VOLTAGE, Member, with_what_follows
from compat.model.values import UNKNOWN, Content, TokenSet, Trait
from compat.rulebook.usual import Usual, with_usual

# What follows from usual values may bring the row into another class, such as one of its power.
ROUNDS = 3


@dataclass(frozen=True, slots=True)
class Expected:
    """``member`` has usual values in its gaps; ``classes`` names for each filled trait the class it is of."""

    member: Member
    classes: Mapping[str, str]


def expected_of(
    member: Member, dataset: Dataset, voltage: Content, usual: Usual, *, jurisdiction: str = ""
) -> Expected:
    """A row as it would be with usual values where neither it nor what follows from it says more.

    What then follows from a usual value is of basis ``usual`` too.
    """
    made, classes = member, dict[str, str]()
    for _ in range(ROUNDS):
        filled, found = with_usual(
            made.traits,
            dataset.vocabulary,
            usual,
            text=member.row.luminaire_type,
            given={VOLTAGE: voltage},
            derived=made.reasons,
        )
        if not found:
            break
        classes.update(found)
        # What was derived before is derived anew, since with usual values more may follow.
        known = {name: trait for name, trait in filled.items() if name in found or name not in made.reasons}
        made = with_what_follows(member.row, member.driver, known, dataset, voltage, jurisdiction)
    return Expected(replace(made, traits=_marked(made)), classes)


def expected_columns(
    columns: Mapping[str, Trait], dataset: Dataset, voltage: Content, usual: Usual
) -> tuple[dict[str, Trait], dict[str, str]]:
    """The stated traits of a circuit with what is usual of an installation in the gaps, and the classes."""
    return with_usual(columns, dataset.vocabulary, usual, subject="circuit", given={VOLTAGE: voltage})


def usual_wish(members: Sequence[Member]) -> Trait:
    """Whether dimming is wanted, as far as the methods stated for the luminaires tell: who names a dimming
    method wants it, and what is only switched is not wanted dimmed. Common practice, no source.
    """
    methods = [member.traits.get("methods", UNKNOWN).content for member in members]
    sets = [content for content in methods if isinstance(content, TokenSet)]
    named = [one.row.driver_traits.get("methods", UNKNOWN).content for one in members]
    # A row that leaves the edge open, such as 'mains dimmable', names dimming all the same.
    if any(content.sure - {"switched"} for content in sets) or any(
        isinstance(content, TokenSet) and content.possible - {"switched"} for content in named
    ):
        return Trait("dimmed", "usual")
    if len(sets) == len(methods) and all(content.possible <= {"switched"} for content in sets):
        return Trait("switched", "usual")
    return UNKNOWN


def _marked(member: Member) -> dict[str, Trait]:
    """The traits of a member, with those that rest on a usual value marked as usual."""
    traits = dict(member.traits)
    moved = True
    while moved:
        moved = False
        for name, reason in member.reasons.items():
            rests = any(_of(traits, used, trait).basis == "usual" for used, trait in reason.used.items())
            if rests and traits[name].basis != "usual":
                traits[name] = replace(traits[name], basis="usual")
                moved = True
    return traits


def _of(traits: Mapping[str, Trait], name: str, otherwise: Trait) -> Trait:
    return traits.get(name.removeprefix("driver."), otherwise)
