"""Figures printed by published sources, with what the rules must say where they are met and passed.

A published value names its source, where in it, and how sure we are that it says so. Its trials
say what comes out for that figure: the verdict of one rule with demand, limit and margin.
Expected numbers are typed from the source, never computed by the program.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from compat.model.verdicts import Verdict

Confidence = Literal["verified", "second_hand", "derived", "common_practice", "memory"]
CONFIDENCE_MEANING: dict[Confidence, str] = {
    "verified": "read in the standard's own excerpt or on the page of its association",
    "second_hand": "a public text states it and names the standard; the standard was not seen",
    "derived": "arithmetic from a stated formula or from other published figures",
    "common_practice": "common practice of the trade, no published source found",
    "memory": "remembered and not seen again; it may never decide that something fails",
}


@dataclass(frozen=True, slots=True)
class Drivers:
    """One row of a made schedule: so many drivers of one luminaire type, with their traits."""

    quantity: int
    traits: Mapping[str, Any]
    luminaire_type: str


@dataclass(frozen=True, slots=True)
class Figure:
    """An expected amount in a unit of the vocabulary; ends may be ``pytest.approx``."""

    low: Any
    high: Any
    unit: str


@dataclass(frozen=True, slots=True)
class Trial:
    """A circuit on an output through the engine, and what one rule, named by its slug, must say of it.

    ``verdict`` None: the rule must not apply. A figure that is None is not looked at.
    """

    name: str
    rule: str
    drivers: tuple[Drivers, ...]
    output: Mapping[str, Any]
    verdict: Verdict | None
    circuit: Mapping[str, Any] = field(default_factory=dict)
    demand: Figure | None = None
    limit: Figure | None = None
    margin_percent: Any = None


@dataclass(frozen=True, slots=True)
class RuleTrial:
    """Values by full trait name straight into one rule, for what a schedule does not state."""

    name: str
    rule: str
    given: Mapping[str, Any]
    verdict: Verdict | None
    demand: Figure | None = None
    limit: Figure | None = None
    margin_percent: Any = None


AnyTrial = Trial | RuleTrial


@dataclass(frozen=True, slots=True)
class PublishedValue:
    """One figure or statement of one source: ``id`` is given once in all files."""

    id: str
    states: str
    source: str
    locator: str
    confidence: Confidence
    trials: tuple[AnyTrial, ...]


def drivers(quantity: int, luminaire_type: str = "L1", **traits: Any) -> Drivers:
    """So many drivers of one type; traits as the TOML tables write them."""
    return Drivers(quantity, traits, luminaire_type)


def exactly(figure: Any, unit: str) -> Figure:
    """An amount whose ends are the same."""
    return Figure(figure, figure, unit)


def all_trials(values: Iterable[PublishedValue]) -> list[tuple[str, AnyTrial]]:
    """Every trial with the id of its value, for ``pytest.mark.parametrize``."""
    return [(value.id, trial) for value in values for trial in value.trials]


def label(part: str | AnyTrial) -> str:
    """The name of a trial, for the ids of ``pytest.mark.parametrize``."""
    return part if isinstance(part, str) else part.name.replace(" ", "_")
