"""Sources that entries of tables cite exist and fit what they are cited for."""

from __future__ import annotations

from collections.abc import Iterator

from compat.checks.material import Material, in_entry
from compat.checks.support import unfit
from compat.model.faults import Fault, did_you_mean

NAME = "entry-citations"
SCOPE = "table"
SENTENCE = "sources cited in tables exist and fit the basis of the value"


def check(material: Material) -> Iterator[Fault]:
    """Faults for unknown sources, for standards left unnamed, and for sources that do not fit."""
    sources = material.dataset.sources
    for entry in material.entries:
        own = entry.raw.get("source")
        if own is not None and own not in sources:
            what = f"{entry.id}: the source {str(own)[:40]} is not in datasets/sources"
            yield Fault(what, in_entry(entry, "source"), do=did_you_mean(str(own), sources))
        for name, trait in entry.traits.items():
            if trait.source and trait.source != own and trait.source not in sources:
                what = f"{entry.id} {name}: the source {trait.source[:40]} is not in datasets/sources"
                yield Fault(what, in_entry(entry, name), do=did_you_mean(trait.source, sources))
            if trait.basis == "standard" and not trait.source:
                what = f"{entry.id} {name}: a value of basis standard needs its source"
                yield Fault(what, in_entry(entry, name), do="Add source, or correct the basis")
            source = sources.get(trait.source or "")
            # What a user declares may name any text that it was read in.
            wrong = unfit(trait.basis, source) if source and trait.basis != "declared" else ""
            if wrong:
                yield Fault(
                    f"{entry.id} {name}: {trait.source}: {wrong}", in_entry(entry, name), do="Correct one"
                )
