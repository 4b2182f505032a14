"""On which supply a schedule and its circuits are, where no project file says it.

The supply that is usual at home stands, unless the rated voltages of the schedule rule it out and that of
other countries fits them all, with its further voltages, such as 277 V beside 120 V. A single lamp of a
wrong voltage thus stays what it is: on the wrong supply.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from compat.dataset.overlay import Setting
from compat.dataset.read import Dataset, Equipment
from compat.engine.site import Site, quantity
from compat.model.schedule import ScheduleRow
from compat.model.usual import UsualSupply
from compat.model.values import Interval, Trait
from compat.rulebook.usual import usual_of

# IEC 60038: 10 % about the nominal voltage, as the rule on rated voltages has it.
BAND = 0.1


def with_supply_of_rows(
    dataset: Dataset, setting: Setting, rows: Sequence[ScheduleRow]
) -> tuple[Setting, str | None]:
    """The setting on the supply that the rated voltages of the rows fit, and a note where it moved."""
    if setting.project.supply or setting.project.supply_traits:
        return setting, None
    spans = [span for row in rows if (span := _span(row, dataset)) is not None]
    home = [one for one in usual_of(dataset).supplies if one.supply == setting.supply.id]
    for entry in (*home, *usual_of(dataset).supplies):
        found = [dataset.tables["supplies"][name] for name in (entry.supply, *entry.others)]
        if not all(any(_admits(span, one) for one in found) for span in spans):
            continue
        if entry in home:
            return setting, None
        return _moved(dataset, setting, entry, found, spans)
    return setting, None


def around(site: Site, rows: Iterable[ScheduleRow], dataset: Dataset) -> Site:
    """The site of a circuit: with the first of its supplies that suits what all rows are rated for."""
    if not site.further_supplies:
        return site
    spans = [span for row in rows if (span := _span(row, dataset)) is not None]
    for supply in (site.supply, *site.further_supplies):
        if all(_admits(span, supply) for span in spans):
            return site if supply is site.supply else replace(site, supply=supply)
    return site


def on_usual_supply(
    dataset: Dataset, setting: Setting, entry: UsualSupply, supplies: Sequence[Equipment]
) -> Setting:
    """The setting on some supplies, the first for all that says nothing, with what is usual around them.

    What the project states of breaker, cable and source stays.
    """
    tables, project = dataset.tables, setting.project
    moved = replace(setting, supply=supplies[0], further_supplies=tuple(supplies[1:]))
    if entry.cable and not (project.cable or project.cable_traits):
        moved = replace(moved, cable=tables["cables"][entry.cable])
    if entry.breaker and not (project.breaker or project.breaker_traits):
        moved = replace(moved, breaker=tables["breakers"][entry.breaker])
    if not (project.source or project.source_impedance):
        moved = replace(moved, source_impedance=tables["source_impedances"][entry.source_impedance])
    return moved


def _moved(
    dataset: Dataset, setting: Setting, entry: UsualSupply, found: list[Equipment], spans: list[Interval]
) -> tuple[Setting, str]:
    # The one that suits most rows stands first; it holds for rows that say nothing.
    found = sorted(found, key=lambda one: -sum(_admits(span, one) for span in spans))
    used = [one for one in found if any(_admits(span, one) for span in spans)]
    named = " and ".join(one.name.split(",")[0] for one in used[:3])
    told = f"No project file names the supply; the rated voltages fit one of {named}, so it is taken."
    return on_usual_supply(dataset, setting, entry, found), told


def _span(row: ScheduleRow, dataset: Dataset) -> Interval | None:
    """From the lowest to the highest rated voltage of a row, where both are known."""
    driver = dataset.tables["drivers"].get(row.driver_id or "")
    traits: dict[str, Trait] = {**(driver.traits if driver else {}), **row.driver_traits}
    low, high = quantity(traits, "input_voltage_min_v"), quantity(traits, "input_voltage_max_v")
    return Interval(low.low, high.high) if low and high and low.low <= high.high else None


def _admits(span: Interval, supply: Equipment) -> bool:
    nominal = quantity(supply.traits, "voltage_v")
    return nominal is not None and (
        span.low * (1 - BAND) <= nominal.low and nominal.high <= span.high * (1 + BAND)
    )
