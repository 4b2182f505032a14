"""The rows behind a circuit or a line, each with every driver trait that is known of it or follows."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from compat.dataset.read import Dataset, Equipment
from compat.engine.control_gear import methods_by_signs, seen_floor, usual_traits
from compat.model.overrides import overridden
from compat.model.schedule import ScheduleRow
from compat.model.values import UNKNOWN, Content, Interval, Trait
from compat.rulebook.follows import Found, follower_of

VOLTAGE = "supply.voltage_v"
COUNT = "circuit.driver_count"


@dataclass(frozen=True, slots=True)
class Reason:
    """How a value was found: the relations that gave it, and the values that they used, by full name."""

    relations: tuple[str, ...]
    used: Mapping[str, Trait]


@dataclass(frozen=True, slots=True)
class Contradiction:
    """Stated values of a row that cannot all be true, and the relations that say so."""

    relations: tuple[str, ...]
    values: Mapping[str, Trait]


@dataclass(frozen=True, slots=True)
class Member:
    """One row of a schedule with every driver trait that is known of it.

    ``reasons`` says of each derived trait what it rests on, ``contradictions`` which stated ones do not
    go together, ``fallen`` which generic figures gave way to what follows from stated ones.
    """

    row: ScheduleRow
    driver: Equipment | None
    traits: Mapping[str, Trait]
    reasons: Mapping[str, Reason] = field(default_factory=dict)
    contradictions: tuple[Contradiction, ...] = ()
    fallen: frozenset[str] = frozenset()

    @property
    def name(self) -> str:
        """What people call it: the luminaire type, else the driver."""
        return self.row.luminaire_type or (self.driver.name if self.driver else f"row {self.row.number}")


def member_of(
    row: ScheduleRow,
    dataset: Dataset,
    voltage: Content,
    defaults: Mapping[str, Trait] | None = None,
    *,
    jurisdiction: str = "",
) -> Member:
    """A row with the traits of its driver, those that it states itself, and what follows from them.

    ``voltage`` is that of the supply in V. ``jurisdiction`` is where the project is, such as ``eu``;
    what a law asks follows only there.
    """
    driver = dataset.tables["drivers"].get(row.driver_id) if row.driver_id else None
    traits = {**(defaults or {}), **_of_driver(driver, row.driver_traits, dataset), **row.driver_traits}
    if traits.get("methods", UNKNOWN).content is None:
        every = frozenset(dataset.vocabulary.choices["method"])
        signs = methods_by_signs({**(driver.traits if driver else {}), **row.driver_traits}, every)
        traits.update({"methods": signs} if signs else {})
    return with_what_follows(row, driver, traits, dataset, voltage, jurisdiction)


def with_what_follows(
    row: ScheduleRow,
    driver: Equipment | None,
    traits: Mapping[str, Trait],
    dataset: Dataset,
    voltage: Content,
    jurisdiction: str = "",
) -> Member:
    """A row whose known traits are given, with what follows from them.

    Declared values are trusted most and usual ones least; one that cannot be true beside those of more
    trust gives way.
    """
    given: dict[str, Content] = {VOLTAGE: voltage, COUNT: Interval(float(row.quantity), float(row.quantity))}
    stated = {f"circuit.{name}": trait.content for name, trait in row.circuit_traits.items()}
    layers: list[dict[str, Content]] = [stated, {}, {}]
    for name, trait in traits.items():
        place = {"declared": 0, "usual": 2}.get(trait.basis, 1)
        layers[place][f"driver.{name}"] = trait.content
    found = follower_of(dataset).follow(layers, given, row.luminaire_type, jurisdiction)
    origins = {**traits, **{f"circuit.{name}": trait for name, trait in row.circuit_traits.items()}}
    made = dict(traits)
    for name in found.fallen:
        made[_short(name)] = UNKNOWN
    for name, content in found.values.items():
        made[_short(name)] = _derived(content, found.steps[name].used, origins)
    made.update(usual_traits(made))
    made.update(seen_floor(made))
    reasons = {
        _short(name): Reason(step.relations, _values(step.used, made, origins))
        for name, step in found.steps.items()
    }
    return Member(row, driver, made, reasons, _contradictions(found, made, origins), found.fallen)


def _of_driver(
    driver: Equipment | None, stated: Mapping[str, Trait], dataset: Dataset
) -> Mapping[str, Trait]:
    """The traits of a driver, without those that no longer hold beside those that a row states."""
    if driver is None:
        return {}
    said = {name: trait for name, trait in stated.items() if trait.basis == "declared"}
    dropped = overridden(driver.traits, said, dataset.vocabulary)
    return {name: trait for name, trait in driver.traits.items() if name not in dropped}


def _derived(content: Content, used: Sequence[str], known: Mapping[str, Trait]) -> Trait:
    """A value found, with the place of the first value that it rests on, one that was stated if any."""
    written = [trait for name in used if (trait := known.get(_short(name))) and trait.origin is not None]
    first = next((trait for trait in written if trait.basis == "declared"), written[0] if written else None)
    return Trait(content, "derived", "S0003", first.origin if first else None)


def _values(names: Sequence[str], made: Mapping[str, Trait], known: Mapping[str, Trait]) -> dict[str, Trait]:
    return {
        name: made[_short(name)] if _short(name) in made else known[name]
        for name in names
        if _short(name) in made or name in known
    }


def _contradictions(
    found: Found, made: Mapping[str, Trait], known: Mapping[str, Trait]
) -> tuple[Contradiction, ...]:
    return tuple(
        Contradiction(conflict.relations, _values(conflict.names, made, known))
        for conflict in found.conflicts
    )


def _short(name: str) -> str:
    """The name of a driver trait without its subject; other names as they are."""
    return name.removeprefix("driver.")


def finite(low: float, high: float) -> Interval | None:
    """An interval of finite ends, else None."""
    return Interval(low, high) if math.isfinite(low) and math.isfinite(high) else None
