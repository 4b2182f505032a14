"""Every reference is cited by something."""

from __future__ import annotations

from collections.abc import Iterator

from compat.checks.material import Material
from compat.dataset.toml_files import line_of, read_text
from compat.model.faults import Fault
from compat.model.values import Origin

NAME = "unused-sources"
SCOPE = "dataset"
SENTENCE = "every reference is cited by a rule, a relation or an entry"
# Common practice, memory and own derivation: the program cites them for what it computes.
ALWAYS_THERE = ("S0001", "S0002", "S0003")


def check(material: Material) -> Iterator[Fault]:
    """Faults for references that nothing cites."""
    cited = {citation.source for rule in material.rules for citation in rule.rule.sources}
    for entry in material.entries:
        cited |= {trait.source for trait in entry.traits.values() if trait.source}
        cited.add(str(entry.raw.get("source")))
    cited |= {citation.source for entry in material.relations for citation in entry.relation.sources}
    cited |= {
        trait.source for entry in material.usual.classes for trait in entry.figures.values() if trait.source
    }
    unused = set(material.dataset.sources) - cited - set(ALWAYS_THERE)
    if not unused:
        return
    for path in sorted((material.dataset.root / "datasets" / "sources").glob("*.toml")):
        text = read_text(path)
        for name in sorted(unused):
            line = line_of(text, name)
            if line is not None:
                what = f"nothing cites the source {name}"
                yield Fault(what, Origin(path.name, line=line), do="Cite it or remove it")
