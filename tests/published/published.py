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
class Surroundings:
    """What is around the circuits: entries of the tables by id, as a project file names them.

    Left out: what ``defaults.toml`` names. ``traits`` are laid over those of the entry, by subject:
    supply, breaker, cable, source_impedance.
    """

    supply: str = ""
    breaker: str = ""
    cable: str = ""
    source_impedance: str = ""
    traits: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    only_standard_figures: bool = False


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
    around: Surroundings = Surroundings()


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


@dataclass(frozen=True, slots=True)
class LineTrial:
    """A control line through the engine: its drivers, what is stated for it, and what one rule says.

    ``line`` holds traits of the line by name, ``kind`` among them; nothing else is taken for granted.
    """

    name: str
    rule: str
    line: Mapping[str, Any]
    verdict: Verdict | None
    drivers: tuple[Drivers, ...] = (Drivers(1, {}, "L1"),)
    demand: Figure | None = None
    limit: Figure | None = None
    margin_percent: Any = None


@dataclass(frozen=True, slots=True)
class LookupTrial:
    """One driver looked up, and what comes out for one breaker of the dataset, by the look-up's words.

    ``counts`` holds what is expected of fields such as ``inrush_holds_most``; counts are looked at up
    to ``up_to``. The other fields are there as in the other trials and stay empty.
    """

    name: str
    rule: str
    driver: Mapping[str, Any]
    breaker: str
    counts: Mapping[str, Any]
    up_to: int
    around: Surroundings = Surroundings()
    verdict: Verdict | None = None
    demand: Figure | None = None
    limit: Figure | None = None
    margin_percent: Any = None


@dataclass(frozen=True, slots=True)
class SentenceTrial:
    """Some drivers looked up, and what the look-up says that their figures come to.

    ``asked`` are a light in % and a fade in s; ``says`` stands in one of the sentences. The other fields
    are there as in the other trials and stay empty.
    """

    name: str
    says: str
    drivers: tuple[Drivers, ...]
    asked: Mapping[str, float] = field(default_factory=dict)
    rule: str = ""
    verdict: Verdict | None = None
    demand: Figure | None = None
    limit: Figure | None = None
    margin_percent: Any = None


AnyTrial = Trial | RuleTrial | LineTrial | LookupTrial | SentenceTrial


@dataclass(frozen=True, slots=True)
class Within:
    """Equal to every number from ``low`` to ``high``, for figures that two models bracket."""

    low: float
    high: float

    def __eq__(self, other: object) -> bool:
        return isinstance(other, int | float) and self.low <= other <= self.high

    def __hash__(self) -> int:
        return hash((self.low, self.high))


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
    if "input_current_a" in traits and "input_power_w" not in traits:
        # The textbooks' loads draw their current in step with the voltage.
        traits = {"power_factor": 1.0, **traits}
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
