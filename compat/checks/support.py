"""A source is of a kind that can support what it is cited for."""

from __future__ import annotations

from collections.abc import Iterator

from compat.checks.material import Material, in_rule
from compat.model.faults import Fault
from compat.model.source import Source

NAME = "support"
SCOPE = "rule"
SENTENCE = "a source is of a kind that can support what it is cited for, and the part used is named"
OWN_WORK = ("practice", "derivation")
# Texts that restate a standard or give practice; what they say is published and no standard.
NOT_A_STANDARD = ("association", "course", "textbook", "encyclopaedia", "article")


def check(material: Material) -> Iterator[Fault]:
    """Faults for citations whose basis and source do not go together, or that name no part."""
    for rule in material.rules:
        for citation in rule.rule.sources:
            source = material.dataset.sources.get(citation.source)
            if source is None:
                continue
            wrong = unfit(citation.basis, source)
            if wrong:
                where = in_rule(rule, citation.source)
                yield Fault(f"{citation.source}: {wrong}", where, do="Correct the basis or the source")
            if source.kind != "practice" and not citation.locator:
                what = f"{citation.source} is cited without the part of it that is used"
                where = in_rule(rule, citation.source)
                yield Fault(what, where, do="Add locator: clause, table, page or formula")


def unfit(basis: str, source: Source) -> str:
    """Why a source cannot be cited with a basis; empty when it can."""
    if (source.read_as == "memory") != (basis == "memory"):
        return f"basis {basis} does not go with a source that is {_read(source)}"
    if basis == "standard" and source.kind in NOT_A_STANDARD:
        return f"basis standard needs a standard or code; this source is of kind {source.kind}: published"
    if basis in ("standard", "published", "measured") and source.kind in OWN_WORK:
        return f"basis {basis} needs a published source; this one is of kind {source.kind}"
    if basis == "common_practice" and source.kind != "practice":
        return f"basis common_practice goes with kind practice; this source is of kind {source.kind}"
    if basis == "derived" and source.kind == "practice":
        return "basis derived needs a formula; a practice has none"
    return ""


def _read(source: Source) -> str:
    return "from memory" if source.read_as == "memory" else "not from memory"
