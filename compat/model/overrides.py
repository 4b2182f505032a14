"""Which generic figures of a driver fall when a figure is stated: the column ``overrides`` of traits.csv."""

from __future__ import annotations

from collections.abc import Mapping

from compat.model.values import UNKNOWN, Interval, Trait
from compat.model.vocabulary import Vocabulary

# Peak and width are one measurement: a peak alone says nothing of a width that was taken with another.
PULSE = ("inrush_peak_a", "inrush_width_us")


def overridden(
    traits: Mapping[str, Trait], stated: Mapping[str, Trait], vocabulary: Vocabulary
) -> dict[str, str]:
    """The traits of a driver that no longer hold beside stated ones, each with what it gives way to.

    A figure that was made from the one stated anew, or that belongs to the same statement of the maker,
    does not outlast it: 60 W stated over a lamp of 6 W and 0.03 A must not leave the 0.03 A standing.
    One that only names a value of the generic range more closely leaves the others standing.
    """
    found: dict[str, str] = {}
    for name, trait in stated.items():
        definition = vocabulary.traits.get(f"driver.{name}")
        if definition is None:
            continue
        if name not in PULSE and _is_closer(trait, traits.get(name, UNKNOWN)):
            continue
        for other in definition.overrides:
            if other not in stated and other in traits:
                found.setdefault(other, name)
    return found


def _is_closer(stated: Trait, generic: Trait) -> bool:
    one, other = stated.content, generic.content
    return (
        isinstance(one, Interval)
        and isinstance(other, Interval)
        and other.low <= one.low
        and one.high <= other.high
    )
