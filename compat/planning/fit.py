"""How a kind of system holds a house: the rules of fit, head by head, and the order of the kinds."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import cast

from compat.dataset.read import Dataset
from compat.engine.findings import Judged, judge
from compat.engine.subject import OutputSubject, Pairing, Subject
from compat.model.needs import Needs
from compat.model.plan import FitFinding, Head, HeadFit, Part, PlanQuestion, SystemFit
from compat.model.report import Amount
from compat.model.values import UNKNOWN, Trait
from compat.model.verdicts import RANK, worst
from compat.planning.assignment import Assignment
from compat.planning.house_traits import House, control_count, counted_by, shade_count, spare_outputs
from compat.rulebook import nodes
from compat.rulebook.rules import ParsedRule

SCOPE = "system"
FAMILY = "system-"
HEADS: tuple[Head, ...] = ("size", "installation", "loads", "control points", "programming")
BROKEN = ("fails", "hazard")
GROWS = (
    "devices-above-system",
    "wall-controls-above-system",
    "scenes-above-system",
    "clocks-above-system",
    "rail-units-above-panels",
)
COUNTED = ("devices-above-system", "later-devices-above-system")


@dataclass(slots=True)
class FitSubject(Subject):
    """A kind and the house on it, by full trait names."""

    traits: Mapping[str, Trait]

    def trait(self, name: str) -> Trait:
        """The stated trait of a full name; UNKNOWN when there is none."""
        return self.traits.get(name, UNKNOWN)

    def members_without(self, name: str) -> list[object]:
        """No rows of a schedule stand behind these traits."""
        return []


@dataclass(frozen=True, slots=True)
class Built:
    """A kind with what is built of it, the house on it, and what the rules say."""

    assignment: Assignment
    house: House
    findings: list[FitFinding]

    @property
    def broken(self) -> int:
        """How many rules of fit are broken."""
        return sum(1 for finding in self.findings if finding.verdict in BROKEN)

    @property
    def open(self) -> int:
        """How many rules of fit wait for an answer."""
        return sum(1 for finding in self.findings if finding.verdict == "unproven")


def fit_findings(
    assignment: Assignment, house: House, rules: Sequence[ParsedRule], dataset: Dataset
) -> list[FitFinding]:
    """What every rule of fit says of a kind, in the order of the heads and then worst first."""
    traits = {f"system.{name}": trait for name, trait in assignment.kind.traits.items()}
    traits |= {name: Trait(content, "derived") for name, content in house.values.items()}
    # The circuit's side of a pairing is all that a rule of fit reads.
    subject = FitSubject(dataset, traits)
    pairing = Pairing(cast("object", subject), OutputSubject(dataset, None))  # type: ignore[arg-type]
    judged = [found for rule in rules if rule.rule.scope == SCOPE and (found := judge(rule, pairing))]
    told = [_finding(entry, house, dataset) for entry in judged]
    return sorted(told, key=lambda finding: (HEADS.index(finding.head), -RANK[finding.verdict]))


def _finding(entry: Judged, house: House, dataset: Dataset) -> FitFinding:
    finding, rule = entry.finding, entry.rule
    demand, limit = finding.demand, finding.limit
    used = nodes.names(rule.demand) if rule.demand is not None else []
    spare = None
    if limit is not None and demand is not None and limit.low is not None and demand.high is not None:
        spare = limit.low - demand.high
    head = rule.family.removeprefix(FAMILY).replace("-", " ")
    return FitFinding(
        rule=finding.rule,
        slug=finding.slug,
        head=cast("Head", head),
        verdict=finding.verdict,
        because=finding.because,
        label=dataset.vocabulary.traits[used[0]].label if used else "",
        demand=demand,
        relation=finding.relation,
        limit=limit,
        spare=spare,
        parts=_parts(finding.slug, house),
        changes=list(rule.rule.remedies) if finding.verdict in (*BROKEN, "marginal") else [],
        questions=[rule.rule.ask_for[name] for name in entry.open_names if name in rule.rule.ask_for],
    )


def _parts(slug: str, house: House) -> list[Part]:
    later = [Part(label="added later", count=house.added_later)] if house.added_later else []
    return {COUNTED[0]: house.parts, COUNTED[1]: [*house.parts, *later]}.get(slug, [])


def heads_of(findings: Sequence[FitFinding]) -> list[HeadFit]:
    """The five heads: the worst finding of each, or where all hold the limit that is nearest."""
    heads = []
    for head in HEADS:
        of_head = [finding for finding in findings if finding.head == head]
        verdict = worst(finding.verdict for finding in of_head)
        deciding = [finding for finding in of_head if finding.verdict == verdict]
        if verdict == "works":
            deciding = sorted(
                (f for f in deciding if share_used(f) is not None), key=lambda f: -(share_used(f) or 0)
            )
        heads.append(
            HeadFit(head=head, verdict=verdict, binding=deciding[0] if deciding else None, findings=of_head)
        )
    return heads


def share_used(finding: FitFinding) -> float | None:
    """How much of a limit is used, 1 for all of it; None without a limit above 0."""
    if not (_end(finding.demand, "high") is not None and _end(finding.limit, "low")):
        return None
    return (_end(finding.demand, "high") or 0.0) / (_end(finding.limit, "low") or 1.0)


def _end(amount: Amount | None, end: str) -> float | None:
    return None if amount is None else cast("float | None", getattr(amount, end))


def ranked(built: Sequence[Built], needs: Needs) -> list[Built]:
    """The kinds, best first: fewest broken rules and circuits left out, then fewest open ones.

    Of those that hold alike, the one with the fewest points to agree on, then the cheapest where cost weighs
    much and prices are given for all, then the smallest kind.
    """
    costs = [cost_of(one, needs) for one in built]
    by_cost = needs.cost_weight == "high" and None not in costs

    def key(number: int) -> tuple[float, ...]:
        one = built[number]
        marginal = sum(1 for finding in one.findings if finding.verdict == "marginal")
        cost = costs[number] if by_cost else 0.0
        left_out = sum(1 for entry in one.assignment.left_out if entry.any_kind)
        scale = one.assignment.kind.file.scale
        return one.broken, left_out, one.open, marginal, cost or 0.0, scale, number

    return [built[number] for number in sorted(range(len(built)), key=key)]


def cost_of(one: Built, needs: Needs) -> float | None:
    """What the parts cost at the user's prices; None where one has no price or its number is not known."""
    counts: dict[str, int | None] = {}
    for module in one.assignment.modules:
        counts[module.kind.id] = (counts.get(module.kind.id) or 0) + 1
    counts["hub"] = one.house.hubs
    counts["wall_control"] = control_count(needs)
    counts["sensor"] = None if needs.sensors is None else len(needs.sensors)
    counts["shade"] = shade_count(needs)
    counts["repeater"] = sum(part.count for part in one.house.parts if part.label == "repeaters")
    total = 0.0
    for name, count in counts.items():
        if count is None or (count and name not in needs.prices):
            return None
        total += count * needs.prices.get(name, 0.0)
    return total if needs.prices else None


def system_fit(one: Built, rank: int, needs: Needs) -> SystemFit:
    """What is told of a kind."""
    assignment, file = one.assignment, one.assignment.kind.file
    broken = [finding for finding in one.findings if finding.verdict in (*BROKEN, "marginal")]
    devices = sum(part.count for part in one.house.parts)
    return SystemFit(
        system=file.slug,
        name=file.name,
        rank=rank,
        holds="no" if one.broken else "open" if one.open else "yes",
        heads=heads_of(one.findings),
        circuits_placed=len(assignment.place_names()),
        circuits_left_out=[entry.circuit for entry in assignment.left_out],
        modules=len(assignment.modules),
        devices=devices,
        lost=[finding.because for finding in broken],
        changes=list(dict.fromkeys(change for finding in broken for change in finding.changes)),
        tips_over=[*_more_circuits(one), *_tips_over(one.findings)],
        cost=cost_of(one, needs),
        scale=file.scale,
        summary=file.summary,
        later_changes=file.later_changes,
    )


def _more_circuits(one: Built) -> list[str]:
    """How many more circuits like these the limits leave room for: spare outputs, then more modules."""
    assignment = one.assignment
    circuits = len(assignment.place_names())
    left = {finding.slug: finding.spare for finding in one.findings if finding.verdict == "works"}
    rail = math.fsum(module.kind.rail_units for module in assignment.modules)
    counted = float(len(assignment.modules)) if "output" in counted_by(assignment) else 0.0
    spares = [(left.get(COUNTED[0]), counted), (left.get("rail-units-above-panels"), rail)]
    known = [spare * circuits / used for spare, used in spares if spare is not None and used]
    if not circuits or not known:
        return []
    more = math.floor(min(known)) + spare_outputs(assignment)
    return [f"about {more} circuits like these"]


def _tips_over(findings: Sequence[FitFinding]) -> list[str]:
    """How much more of each thing there may be, what is nearest its limit first."""
    holding = [
        finding for finding in findings if finding.verdict == "works" and share_used(finding) is not None
    ]
    holding.sort(key=lambda finding: -(share_used(finding) or 0.0))
    return [
        f"{finding.spare:g} more {finding.label}"
        for finding in holding
        if finding.slug in GROWS and finding.spare is not None
    ]


def questions_of(built: Sequence[Built]) -> list[PlanQuestion]:
    """The needs that are not known and could move the order: those of kinds that nothing yet rules out."""
    least = min((one.broken for one in built), default=0)
    asked: dict[str, list[str]] = {}
    for one in built:
        for ask in (ask for finding in one.findings for ask in finding.questions if one.broken == least):
            names = asked.setdefault(ask, [])
            if one.assignment.kind.file.name not in names:
                names.append(one.assignment.kind.file.name)
    found = [PlanQuestion(ask=ask, kinds=kinds) for ask, kinds in asked.items()]
    return sorted(found, key=lambda question: -len(question.kinds))
