"""A figure that is only from memory never makes a circuit fail."""

from __future__ import annotations

from collections.abc import Iterator

from compat.checks.material import Material, in_rule
from compat.model.faults import Fault

NAME = "basis"
SCOPE = "rule"
SENTENCE = "a rule whose breach is fails or hazard does not rest on memory alone"


def check(material: Material) -> Iterator[Fault]:
    """Faults for hard rules whose test only memory supports, and for cautions left out."""
    for rule in material.live_rules():
        data = rule.rule
        test = "at_most" if data.at_most else "at_least" if data.at_least else "requires"
        bases = {
            "memory" if _read_as(material, citation.source) == "memory" else citation.basis
            for citation in data.sources
            if test in citation.supports
        }
        if bases == {"memory"} and data.breach != "marginal":
            what = f"{test} rests on memory alone and the breach is {data.breach}"
            yield Fault(what, in_rule(rule, "breach"), do='Find a source, or write breach = "marginal"')
        if data.breach == "hazard" and not data.caution:
            yield Fault(
                "a rule whose breach is a hazard needs a caution", in_rule(rule, "breach"), do="Add caution"
            )


def _read_as(material: Material, source: str) -> str:
    found = material.dataset.sources.get(source)
    return found.read_as if found else ""
