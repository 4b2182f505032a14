"""Checks of citations: sources exist, are of a fitting kind, and each of them is used."""

from __future__ import annotations

from collections.abc import Iterator

from compat.checks.context import CheckContext, check, in_rule
from compat.dataset.toml_files import read_document
from compat.model.faults import Fault, did_you_mean
from compat.model.rule import Rule
from compat.model.source import Source

OWN_WORK = ("practice", "derivation")
# Texts that restate a standard or give practice; what they say is published and no standard.
NOT_A_STANDARD = ("association", "course", "textbook", "encyclopaedia", "article")
# Common practice, memory and own derivation: the program cites them for what it computes.
ALWAYS_THERE = ("S0001", "S0002", "S0003")


@check("citations", "rule", "cited sources exist and support the test of the rule")
def citations(context: CheckContext) -> Iterator[Fault]:
    """Faults for unknown sources and unsupported tests."""
    sources = context.dataset.sources
    for rule in context.rules:
        data = rule.rule
        for place, citation in enumerate(data.sources):
            where = in_rule(rule, "sources", place, "source")
            if citation.source not in sources:
                what = f"the source {citation.source} is not in datasets/sources"
                yield Fault(what, where, do=did_you_mean(citation.source, sources))
            unused = [part for part in citation.supports if part != "applies" and not getattr(data, part)]
            if unused:
                parts = ", ".join(unused)
                yield Fault(
                    f"{citation.source} is said to support {parts}, which the rule does not have", where
                )
        test = _test_of(data)
        if not any(test in citation.supports for citation in data.sources):
            do = f'Add supports = ["{test}"] to one'
            yield Fault(f"no source supports {test}", in_rule(rule, "sources"), do=do)


@check("basis", "rule", "a rule whose breach is fails or hazard does not rest on memory alone")
def basis(context: CheckContext) -> Iterator[Fault]:
    """Faults for hard rules whose test only memory supports, and for cautions left out."""
    for rule in context.live_rules():
        data, test = rule.rule, _test_of(rule.rule)
        found = ((context.dataset.sources.get(c.source), c) for c in data.sources if test in c.supports)
        bases = {"memory" if source and source.read_as == "memory" else c.basis for source, c in found}
        if bases == {"memory"} and data.breach != "marginal":
            what = f"{test} rests on memory alone and the breach is {data.breach}"
            yield Fault(what, in_rule(rule, "breach"), do='Find a source, or write breach = "marginal"')
        if data.breach == "hazard" and not data.caution:
            what = "a rule whose breach is a hazard needs a caution"
            yield Fault(what, in_rule(rule, "breach"), do="Add caution")


def _test_of(rule: Rule) -> str:
    return "at_most" if rule.at_most else "at_least" if rule.at_least else "requires"


@check(
    "support",
    "rule",
    "a source is of a kind that can support what it is cited for, and the part used is named",
)
def support(context: CheckContext) -> Iterator[Fault]:
    """Faults for citations whose basis and source do not go together, or that name no part."""
    for rule in context.rules:
        for place, citation in enumerate(rule.rule.sources):
            source = context.dataset.sources.get(citation.source)
            if source is None:
                continue
            where, wrong = in_rule(rule, "sources", place, "source"), unfit(citation.basis, source)
            if wrong:
                yield Fault(f"{citation.source}: {wrong}", where, do="Correct the basis or the source")
            if source.kind != "practice" and not citation.locator:
                what = f"{citation.source} is cited without the part of it that is used"
                yield Fault(what, where, do="Add locator: clause, table, page or formula")


def unfit(basis: str, source: Source) -> str:
    """Why a source cannot be cited with a basis; empty when it can."""
    if (source.read_as == "memory") != (basis == "memory"):
        read = "from memory" if source.read_as == "memory" else "not from memory"
        return f"basis {basis} does not go with a source that is {read}"
    if basis == "standard" and source.kind in NOT_A_STANDARD:
        return f"basis standard needs a standard or code; this source is of kind {source.kind}: published"
    if basis in ("standard", "published", "measured") and source.kind in OWN_WORK:
        return f"basis {basis} needs a published source; this one is of kind {source.kind}"
    if basis == "common_practice" and source.kind != "practice":
        return f"basis common_practice goes with kind practice; this source is of kind {source.kind}"
    if basis == "derived" and source.kind == "practice":
        return "basis derived needs a formula; a practice has none"
    return ""


@check("entry-citations", "table", "sources cited in tables exist and fit the basis of the value")
def entry_citations(context: CheckContext) -> Iterator[Fault]:
    """Faults for unknown sources, for standards left unnamed, and for sources that do not fit."""
    sources = context.dataset.sources
    for entry in context.entries:
        own = entry.raw.get("source")
        if own is not None and own not in sources:
            what = f"{entry.id}: the source {str(own)[:40]} is not in datasets/sources"
            yield Fault(what, entry.where("source"), do=did_you_mean(str(own), sources))
        for name, trait in entry.traits.items():
            lead = f"{entry.id} {name}"
            source = sources.get(trait.source or "")
            # What a user declares may name any text that it was read in.
            wrong = unfit(trait.basis, source) if source and trait.basis != "declared" else ""
            if trait.source and trait.source != own and source is None:
                what, do = (
                    f"the source {trait.source[:40]} is not in datasets/sources",
                    did_you_mean(trait.source, sources),
                )
                yield Fault(f"{lead}: {what}", entry.where("traits", name), do=do)
            if trait.basis == "standard" and not trait.source:
                what, do = "a value of basis standard needs its source", "Add source, or correct the basis"
                yield Fault(f"{lead}: {what}", entry.where("traits", name), do=do)
            if wrong:
                where = entry.where("traits", name)
                yield Fault(f"{lead}: {trait.source}: {wrong}", where, do="Correct one")


@check("unused-sources", "dataset", "every reference is cited by a rule, a relation or an entry")
def unused_sources(context: CheckContext) -> Iterator[Fault]:
    """Faults for references that nothing cites."""
    cited = {citation.source for rule in context.rules for citation in rule.rule.sources}
    for entry in context.entries:
        cited |= {trait.source for trait in entry.traits.values() if trait.source}
        cited.add(str(entry.raw.get("source")))
    cited |= {citation.source for entry in context.relations for citation in entry.relation.sources}
    cited |= {
        trait.source for entry in context.usual.classes for trait in entry.figures.values() if trait.source
    }
    unused = set(context.dataset.sources) - cited - set(ALWAYS_THERE)
    for path in sorted((context.dataset.root / "datasets" / "sources").glob("*.toml")):
        document = read_document(path)
        for place, raw in enumerate(document.data["source"]):
            if raw["id"] in unused:
                where = document.where("source", place, "id")
                yield Fault(f"nothing cites the source {raw['id']}", where, do="Cite it or remove it")
