"""Where the circuits are: the equipment around them that is the same for all."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from compat.dataset.overlay import Setting
from compat.dataset.read import Dataset, Equipment
from compat.model.values import UNKNOWN, Interval, Trait
from compat.rulebook.usual import Usual, usual_of

NOT_GIVEN = Equipment("", "not given", {})


@dataclass(frozen=True, slots=True)
class Site:
    """Supply, protective device, cable and source; ``strict`` trusts only the standard's figures.

    ``further_supplies`` are those of circuits that the supply does not suit.
    With ``usual`` the gaps of rows and circuits are filled with usual values, for the expected verdict.
    """

    supply: Equipment
    breaker: Equipment = NOT_GIVEN
    cable: Equipment = NOT_GIVEN
    source_impedance: Equipment = NOT_GIVEN
    inrush_test_source: Equipment = NOT_GIVEN
    strict: bool = False
    driver_defaults: Mapping[str, Trait] = field(default_factory=dict)
    usual: Usual | None = None
    further_supplies: tuple[Equipment, ...] = ()

    def traits(self, subject: str) -> Mapping[str, Trait]:
        """The traits of a subject of the site by its name in the vocabulary."""
        equipment: Equipment = getattr(self, subject)
        return equipment.traits


def site_of(setting: Setting) -> Site:
    """The site of a setting."""
    return Site(
        supply=setting.supply,
        breaker=setting.breaker,
        cable=setting.cable,
        source_impedance=setting.source_impedance,
        inrush_test_source=setting.inrush_test_source,
        strict=setting.project.only_standard_figures,
        driver_defaults=setting.driver_defaults,
        further_supplies=setting.further_supplies,
    )


def usual_site_of(setting: Setting, dataset: Dataset) -> Site:
    """The site with usual values in the gaps, for expected verdicts: that of :func:`site_of` where the
    project names its breaker, else with the one that is usual on the supply.
    """
    usual = usual_of(dataset)
    site = replace(site_of(setting), usual=usual)
    supply = setting.supply.id
    named = next((one.breaker for one in usual.supplies if supply in (one.supply, *one.others)), None)
    breakers = dataset.tables["breakers"]
    if setting.project.breaker or setting.project.breaker_traits or named not in breakers:
        return site
    return replace(site, breaker=breakers[named])


def quantity(traits: Mapping[str, Trait], name: str) -> Interval | None:
    """The interval of a quantity, None when it is not known."""
    content = traits.get(name, UNKNOWN).content
    return content if isinstance(content, Interval) else None


def quantities(traits: Mapping[str, Trait], *names: str) -> tuple[Interval, ...] | None:
    """The intervals of some quantities, None when one of them is not known."""
    found = [interval for name in names if (interval := quantity(traits, name)) is not None]
    return tuple(found) if len(found) == len(names) else None
