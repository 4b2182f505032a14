"""Which generic figures of a driver fall when a figure is stated: the column ``overrides`` of traits.csv."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from compat.model.values import Trait
from compat.model.vocabulary import Vocabulary


def overridden(
    traits: Mapping[str, Trait], stated: Collection[str], vocabulary: Vocabulary
) -> dict[str, str]:
    """The traits of a driver that no longer hold beside stated ones, each with what it gives way to.

    A figure that was made from the one stated anew, or that belongs to the same statement of the maker,
    does not outlast it: 60 W stated over a lamp of 6 W and 0.03 A must not leave the 0.03 A standing.
    """
    found: dict[str, str] = {}
    for name in stated:
        definition = vocabulary.traits.get(f"driver.{name}")
        for other in definition.overrides if definition else ():
            if other not in stated and other in traits:
                found.setdefault(other, name)
    return found
