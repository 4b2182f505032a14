"""Findings for the pairings that are shown: numbers first, text last, from slots."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from compat.engine.sentences import sentence
from compat.engine.subject import Pairing
from compat.model.figures import amount_text, digits_to_tell_apart
from compat.model.report import Amount, Finding, SourceNote
from compat.model.values import Interval
from compat.model.verdicts import RANK
from compat.rulebook import nodes
from compat.rulebook.nodes import QuantityNode
from compat.rulebook.rules import ParsedRule
from compat.rulebook.truth import EITHER, NO, UNKNOWN, verdict_of
from compat.rulebook.units import Measure

Relation = Literal["at_most", "at_least"]


@dataclass(frozen=True, slots=True)
class Judged:
    """A finding with what the questions need: the rule and the traits that leave it open."""

    rule: ParsedRule
    finding: Finding
    open_names: tuple[str, ...]


def judge(rule: ParsedRule, pairing: Pairing, brief: bool = False) -> Judged | None:
    """The finding of a rule on a pairing; None when the rule surely does not apply.

    ``brief`` leaves out the inputs and the sources, and of a finding that holds the sentence too.
    """
    if pairing.applies(rule) == NO:
        return None
    code = pairing.code(rule)
    verdict = verdict_of(code, rule.rule.breach)
    open_names = pairing.missing(rule) if code == UNKNOWN else []
    if code == EITHER and verdict == "unproven":
        open_names = [name for name in rule.names if _is_wide(pairing, name)]
    if brief and verdict == "works":
        held = Finding(
            rule=rule.rule.id, slug=rule.rule.slug, title=rule.rule.title, verdict=verdict, because=""
        )
        return Judged(rule, held, ())
    demand, limit, relation = _amounts(rule, pairing)
    finding = Finding(
        rule=rule.rule.id,
        slug=rule.rule.slug,
        title=rule.rule.title,
        verdict=verdict,
        because=sentence(rule, pairing, code, (demand, limit, relation), open_names),
        demand=demand,
        relation=relation,
        limit=limit,
        margin_percent=_margin(demand, limit, relation),
        inputs=[] if brief else [entry for name in rule.names for entry in pairing.inputs(name)],
        sources=[] if brief else _sources(rule, pairing),
        remedies=list(rule.rule.remedies) if verdict != "works" else [],
        caution=rule.rule.caution if verdict in ("hazard", "unproven", "fails") else "",
    )
    return Judged(rule, finding, tuple(open_names))


def judged_worst_first(rules: Iterable[ParsedRule], pairing: Pairing, brief: bool = False) -> list[Judged]:
    """The findings of some rules on a pairing, worst first and otherwise in the order of the rules."""
    return worst_first(entry for rule in rules if (entry := judge(rule, pairing, brief)) is not None)


def worst_first(found: Iterable[Judged]) -> list[Judged]:
    """Findings with the worst verdict first, and otherwise in their order."""
    return sorted(found, key=lambda entry: -RANK[entry.finding.verdict])


def because(rule: ParsedRule, pairing: Pairing) -> str:
    """The rule's sentence with its slots filled; empty where the rule holds."""
    code = pairing.code(rule)
    open_names = pairing.missing(rule) if code == UNKNOWN else []
    return sentence(rule, pairing, code, _amounts(rule, pairing), open_names)


def _is_wide(pairing: Pairing, name: str) -> bool:
    content = pairing.content(name)
    return isinstance(content, Interval) and not content.is_exact()


def _amounts(rule: ParsedRule, pairing: Pairing) -> tuple[Amount | None, Amount | None, Relation | None]:
    if rule.demand is None or not isinstance(rule.test, nodes.AtMost):
        return None, None, None
    relation: Relation = "at_most" if rule.rule.at_most else "at_least"
    left, right = rule.test.left, rule.test.right
    demand, limit = (left, right) if relation == "at_most" else (right, left)
    unit = _unit_of(rule, left.measure, pairing)
    ends = [end for node in (demand, limit) for end in _ends(node, pairing)]
    # So many digits that a demand just past its limit does not read like the limit.
    digits = digits_to_tell_apart(*ends)
    symbol = pairing.dataset.vocabulary.unit_symbol(unit)
    amounts = [
        Amount(low=low, high=high, unit=unit, text=amount_text(low, high, symbol, digits))
        for low, high in (ends[:2], ends[2:])
    ]
    return amounts[0], amounts[1], relation


def _ends(node: QuantityNode, pairing: Pairing) -> tuple[float | None, float | None]:
    interval = pairing.quantity(node)
    return (interval.low, interval.high) if interval else (None, None)


def _unit_of(rule: ParsedRule, measure: Measure, pairing: Pairing) -> str:
    """The unit to show: the first trait's of that measure, else the vocabulary's first."""
    vocabulary = pairing.dataset.vocabulary
    for name in rule.names:
        unit = vocabulary.units.get(vocabulary.traits[name].unit)
        if unit and (unit.factor, _powers(unit.dimension)) == (measure.factor, measure.powers):
            return unit.name
    for unit in vocabulary.units.values():
        if (unit.factor, _powers(unit.dimension)) == (measure.factor, measure.powers):
            return unit.name
    return "ratio"


def _powers(dimension: str) -> tuple[tuple[str, int], ...]:
    return () if dimension == "ratio" else ((dimension, 1),)


def _margin(demand: Amount | None, limit: Amount | None, relation: str | None) -> float | None:
    """How far the worse end of the demand is from the worse end of the limit, in % of that limit."""
    if demand is None or limit is None:
        return None
    at_most = relation == "at_most"
    worst_demand = demand.high if at_most else demand.low
    worst_limit = limit.low if at_most else limit.high
    if worst_demand is None or worst_limit is None or worst_limit == 0:
        return None
    room = worst_limit - worst_demand if at_most else worst_demand - worst_limit
    return 100.0 * room / abs(worst_limit)


def _sources(rule: ParsedRule, pairing: Pairing) -> list[SourceNote]:
    known = pairing.dataset.sources
    return [
        SourceNote(
            source=citation.source,
            title=known[citation.source].short if citation.source in known else citation.source,
            edition=citation.edition,
            locator=citation.locator,
            basis=citation.basis,
            supports=list(citation.supports),
        )
        for citation in rule.rule.sources
    ]
