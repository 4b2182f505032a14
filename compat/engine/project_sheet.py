"""What the sheet Project of a schedule's workbook says of the installation, laid over a setting.

A project file goes before the sheet, and the sheet before what is usual.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from compat.dataset.overlay import Setting
from compat.dataset.read import Dataset, Equipment
from compat.engine.supply_of_rows import on_usual_supply
from compat.model.faults import BadInput, Fault, did_you_mean, shown
from compat.model.schedule import ProjectAnswer, Schedule
from compat.model.values import Interval, Trait
from compat.rulebook.usual import usual_of

YES_NO = {"yes": True, "no": False}
MOST_RCD_MA = 10_000.0


def with_project_sheet(dataset: Dataset, setting: Setting, schedule: Schedule) -> Setting:
    """The setting with what the sheet states. Raises BadInput with every cell that cannot be used."""
    faults: list[Fault] = []
    for answer in schedule.project:
        try:
            setting = _with(dataset, setting, answer)
        except BadInput as error:
            faults += error.faults
    if faults:
        raise BadInput(faults)
    if any(answer.what == "country" for answer in schedule.project) and not setting.project.supply:
        # A country that is stated is no longer sought by the rated voltages of the rows.
        setting = replace(setting, project=replace(setting.project, supply=setting.supply.id))
    return setting


def _with(dataset: Dataset, setting: Setting, answer: ProjectAnswer) -> Setting:
    project = setting.project
    match answer.what:
        case "country":
            return setting if project.supply else _in_country(dataset, setting, answer)
        case "supply":
            entry = _entry(dataset.tables["supplies"], answer)
            stated = replace(
                setting, project=replace(project, supply=entry.id), supply=entry, further_supplies=()
            )
            return setting if project.supply else stated
        case "breaker":
            entry = _entry(dataset.tables["breakers"], answer)
            stated = replace(setting, project=replace(project, breaker=entry.id), breaker=entry)
            return setting if project.breaker else stated
        case "rcd":
            return _with_rcd(setting, answer)
    usual = YES_NO.get(answer.text.casefold())
    if usual is None:
        raise _fault(answer, "Allowed: yes, no")
    if usual or not setting.assumptions:
        return setting
    kept = {name: trait for name, trait in setting.circuit_defaults.items() if trait.basis != "usual"}
    return replace(setting, circuit_defaults=kept, assumptions=())


def _in_country(dataset: Dataset, setting: Setting, answer: ProjectAnswer) -> Setting:
    found = usual_of(dataset).supply_in(answer.text)
    if found is None:
        known = sorted(code for entry in usual_of(dataset).supplies for code in entry.countries)
        raise _fault(answer, f"Allowed: {', '.join(known)} (codes of ISO 3166-1)")
    supplies = [dataset.tables["supplies"][name] for name in (found.supply, *found.others)]
    # The breaker that is usual there stands in for expected verdicts; a sheet states one on its own line.
    return on_usual_supply(dataset, setting, found.model_copy({"breaker": None}), supplies)


def _with_rcd(setting: Setting, answer: ProjectAnswer) -> Setting:
    try:
        current = float(answer.text.casefold().removesuffix("ma").strip().replace(",", "."))
    except ValueError:
        current = -1.0
    if not 0 < current <= MOST_RCD_MA:
        raise _fault(answer, f"Allowed: a number of mA up to {MOST_RCD_MA:g}, such as 30")
    if setting.project.supply_traits:
        return setting
    stated = Trait(Interval(current, current), "declared", origin=answer.origin)
    traits = {**setting.supply.traits, "rcd_rated_current_ma": stated}
    return replace(setting, supply=replace(setting.supply, traits=traits))


def _entry(table: Mapping[str, Equipment], answer: ProjectAnswer) -> Equipment:
    wanted = answer.text.casefold()
    found = [one for one in table.values() if wanted in (one.id.casefold(), one.name.casefold())]
    if not found:
        names = [name for one in table.values() for name in (one.id, one.name)]
        raise _fault(answer, "Allowed: an id or a name of the list", did_you_mean(answer.text, names))
    return found[0]


def _fault(answer: ProjectAnswer, allowed: str, do: str = "") -> BadInput:
    return BadInput([Fault(f"{shown(answer.text)} cannot be used here", answer.origin, allowed, do)])
