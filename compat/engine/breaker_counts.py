"""How many of a driver each breaker of the dataset carries: steady, and at switching on."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Callable, Sequence
from dataclasses import replace

from compat.dataset.read import Dataset, Equipment
from compat.engine.breaker_of_circuit import breaker_holds, breaker_holds_likely
from compat.engine.gather import Circuit
from compat.engine.protection import device_of
from compat.engine.site import Site, quantity
from compat.engine.subject import CircuitSubject, OutputSubject, Pairing
from compat.model.lookup import Binding, BreakerCounts
from compat.model.values import UNKNOWN, Interval
from compat.rulebook import nodes
from compat.rulebook.evaluator import slackened
from compat.rulebook.rules import ParsedRule

Holds = Callable[[Circuit, Site], bool | None]


def breaker_counts(
    proven: Sequence[Circuit],
    usual: Sequence[Circuit],
    site: Site,
    dataset: Dataset,
    rules: Sequence[ParsedRule],
) -> list[BreakerCounts]:
    """A line for each breaker with an exact rating.

    ``proven`` are circuits of 1, 2, 3 ... drivers by what is known, on which the sure counts rest;
    ``usual`` the same with usual values in the gaps, on which the likely ones rest.
    """
    breakers = dataset.tables["breakers"].values()
    exact = [
        breaker
        for breaker in breakers
        if (rated := quantity(breaker.traits, "rated_current_a")) and rated.is_exact()
    ]
    steady = [rule for rule in rules if device_of(rule) == "breaker" and _sums(rule, dataset)]
    return [_counts(proven, usual, replace(site, breaker=breaker), dataset, steady) for breaker in exact]


def _counts(
    circuits: Sequence[Circuit],
    usual: Sequence[Circuit],
    site: Site,
    dataset: Dataset,
    steady_rules: Sequence[ParsedRule],
) -> BreakerCounts:
    breaker: Equipment = site.breaker
    rated = quantity(breaker.traits, "rated_current_a")
    assert rated is not None
    steady = _steady(CircuitSubject(dataset, circuits[0], site), steady_rules)
    holds, likely = _holding(circuits, site, breaker_holds), _holding(usual, site, breaker_holds_likely)
    open_ended = holds == len(circuits)
    most, binding = _binding(steady, holds, open_ended)
    curve = breaker.traits.get("curve", UNKNOWN).content
    return BreakerCounts(
        breaker=breaker.id,
        name=breaker.name,
        curve=str(curve or "").upper(),
        rated_current_a=rated.low,
        steady_most=steady,
        inrush_holds_most=holds,
        inrush_likely_most=likely,
        inrush_may_release_from=holds + 1 if holds is not None and holds < len(circuits) else None,
        inrush_open_ended=open_ended,
        most=most,
        binding=binding,
    )


def _binding(steady: int | None, holds: int | None, open_ended: bool) -> tuple[int | None, Binding]:
    """The smaller of the two limits and which it is; nothing where one of them is not known."""
    if steady is None or holds is None:
        return None, "not known"
    if steady <= holds:
        return steady, "steady current"
    return (None, "not known") if open_ended else (holds, "inrush")


def _sums(rule: ParsedRule, dataset: Dataset) -> bool:
    """Whether the demand of a rule is a trait that a circuit sums, and that must stay below its limit."""
    node = rule.demand
    if not isinstance(node, nodes.QuantityName) or not rule.rule.at_most:
        return False
    return dataset.vocabulary.traits[node.name].gather == "sum"


def _steady(single: CircuitSubject, rules: Sequence[ParsedRule]) -> int | None:
    """The greatest count within the limits of the rules, from the demand of one; None when not known."""
    pairing = Pairing(single, OutputSubject(single.dataset, None))
    counts = []
    for rule in rules:
        assert isinstance(rule.test, nodes.AtMost)
        demand, limit = pairing.quantity(rule.test.left), pairing.quantity(rule.test.right)
        if not isinstance(demand, Interval) or limit is None or demand.high <= 0:
            return None
        counts.append(math.floor(slackened(limit.low) / demand.high))
    return min(counts, default=None)


def _holding(circuits: Sequence[Circuit], site: Site, holds: Holds) -> int | None:
    """The greatest count up to which every count holds; None when the inrush is not known.

    Peak and I2t rise with the count and a larger one can only break what holds (see
    ``breaker_release.hold_limit_a``), so the end is found by halving.
    """
    if holds(circuits[0], site) is None:
        return None
    return bisect_left(circuits, True, key=lambda circuit: not holds(circuit, site))
