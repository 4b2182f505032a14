"""How many of a driver each breaker of the dataset carries: steady, and at switching on."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import replace

from compat.dataset.read import Dataset, Equipment
from compat.engine.computed import breaker_holds
from compat.engine.gather import Circuit
from compat.engine.site import Site, quantity
from compat.model.lookup import Binding, BreakerCounts
from compat.model.values import UNKNOWN, Interval


def breaker_counts(circuits: Sequence[Circuit], site: Site, dataset: Dataset) -> list[BreakerCounts]:
    """A line for each breaker with an exact rating; ``circuits`` hold 1, 2, 3 ... drivers."""
    breakers = dataset.tables["breakers"].values()
    exact = [
        breaker
        for breaker in breakers
        if (rated := quantity(breaker.traits, "rated_current_a")) and rated.is_exact()
    ]
    return [_counts(circuits, replace(site, breaker=breaker), breaker) for breaker in exact]


def _counts(circuits: Sequence[Circuit], site: Site, breaker: Equipment) -> BreakerCounts:
    rated = quantity(breaker.traits, "rated_current_a")
    assert rated is not None
    steady = _steady(circuits[0], site, rated.low)
    holds = _holding(circuits, site)
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


def _steady(single: Circuit, site: Site, rated_current_a: float) -> int | None:
    current = single.values.get("circuit.input_current_a")
    share = quantity(site.supply.traits, "continuous_load_share")
    if not isinstance(current, Interval) or share is None or current.high <= 0:
        return None
    # A relative 1e-9 more, so that an exact fit is not lost to rounding.
    return math.floor(rated_current_a * share.low / current.high * (1 + 1e-9))


def _holding(circuits: Sequence[Circuit], site: Site) -> int | None:
    """The greatest count up to which every count surely holds; None when the inrush is not known.

    Peak and I2t rise with the count and a larger one can only break what holds (see
    ``breaker_release.hold_limit_a``), so the end is found by halving.
    """
    if breaker_holds(circuits[0], site) is None:
        return None
    return bisect_left(circuits, True, key=lambda circuit: not breaker_holds(circuit, site))
