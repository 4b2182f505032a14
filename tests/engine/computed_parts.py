"""Circuits at a made site and what is computed of them, for the tests of the computed traits."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

from compat.dataset.read import Dataset, Equipment
from compat.engine.gather import Circuit, gather_rows
from compat.engine.inrush_of_circuit import LOW_END, hidden_choke
from compat.engine.site import Site
from compat.model.schedule import ScheduleRow
from compat.model.values import Content, Interval, Trait
from tests.engine.made import exact


def equipment(**traits: Any) -> Equipment:
    """An entry with these traits."""
    return Equipment("X", "made", {name: Trait(content) for name, content in traits.items()})


def source(ohm: Interval, uh: Interval) -> Equipment:
    """A source of R and L."""
    return equipment(resistance_ohm=ohm, inductance_uh=uh)


def site_of(dataset: Dataset) -> Site:
    """230 V without a tolerance, C16, 1.5 mm2, behind 0.8 ohm and 100 uH."""
    tables = dataset.tables
    supply = tables["supplies"]["U0001"]
    steady = {"voltage_min_v": Trait(exact(230.0)), "voltage_max_v": Trait(exact(230.0))}
    return Site(
        replace(supply, traits={**supply.traits, **steady}),
        tables["breakers"]["B0011"],
        tables["cables"]["C0004"],
        source(exact(0.8), exact(100.0)),
        tables["source_impedances"]["Z0006"],
    )


def circuit(dataset: Dataset, site: Site, *rows: ScheduleRow) -> Circuit:
    """The rows as one circuit."""
    return gather_rows("C1", rows, dataset, site, {})


def value(name: str, dataset: Dataset, site: Site, *rows: ScheduleRow) -> Content:
    """A trait of the circuit by its name, None when it is not known."""
    return circuit(dataset, site, *rows).values.get(f"circuit.{name}")


def known(name: str, dataset: Dataset, site: Site, *rows: ScheduleRow) -> Interval:
    """A trait that must be an interval."""
    found = value(name, dataset, site, *rows)
    assert isinstance(found, Interval), f"{name} is {found!r}"
    return found


def alone(dataset: Dataset, site: Site, name: str, *rows: ScheduleRow) -> list[Interval]:
    """A trait of each row by itself."""
    return [known(name, dataset, site, one) for one in rows]


def near(found: Interval, expected: Interval) -> bool:
    """Whether two intervals have the same ends but for rounding."""
    pairs = ((found.low, expected.low), (found.high, expected.high))
    return all(math.isclose(one, other, rel_tol=1e-6, abs_tol=1e-12) for one, other in pairs)


def sure_ends(of_physics: Interval, count: int, power: int = 1) -> Interval:
    """What the engine makes of a range: more for a hidden choke, a quarter less at the low end."""
    high = of_physics.high * hidden_choke(count)[power - 1]
    return Interval(of_physics.low * LOW_END**power, high)


def inside(narrow: Interval, wide: Interval) -> bool:
    """Whether one interval lies in another."""
    slack = 1e-9 * max(abs(wide.low), abs(wide.high))
    return wide.low - slack <= narrow.low and narrow.high <= wide.high + slack
