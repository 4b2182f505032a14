"""The least of a thing is not above its greatest, across the traits of an entry."""

from __future__ import annotations

from collections.abc import Iterator

from compat.checks.material import Material, in_entry
from compat.model.faults import Fault
from compat.model.figures import number_text
from compat.model.values import Interval

NAME = "intervals"
SCOPE = "table"
SENTENCE = "a least value is not above the greatest value of the same thing"
# Words in a pair of names that say which of the two is the lesser.
ENDS = (("min", "max"), ("lowest", "highest"), ("shortest", "longest"), ("hold", "trip"))


def check(material: Material) -> Iterator[Fault]:
    """Faults for entries whose least is surely above their greatest."""
    for entry in material.entries:
        for name, trait in entry.traits.items():
            for least, greatest in ENDS:
                words = name.split("_")
                if least not in words:
                    continue
                other_name = "_".join(greatest if word == least else word for word in words)
                other = entry.traits.get(other_name)
                low, high = trait.content, other.content if other else None
                if isinstance(low, Interval) and isinstance(high, Interval) and low.low > high.high:
                    what = (
                        f"{entry.id}: {name} is {number_text(low.low)} or more, above {other_name}, "
                        f"which is {number_text(high.high)} or less"
                    )
                    yield Fault(what, in_entry(entry, name), do="Correct one of the two")
