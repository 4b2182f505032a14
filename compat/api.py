"""The public functions: what the commands call, and what other programs may.

Everything heavier than this file is loaded when it is used. Inputs that cannot be used raise
:class:`compat.BadInput`, a :class:`compat.CompatError`, with every fault found.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from compat.results import AddressResult as AddressResult
from compat.results import CheckResult as CheckResult
from compat.results import LookupResult as LookupResult
from compat.results import OutputLookupResult as OutputLookupResult
from compat.results import PlanComparison as PlanComparison
from compat.results import PlanResult as PlanResult
from compat.results import RuleExplanation as RuleExplanation
from compat.results import TableResult as TableResult
from compat.results import is_plan as is_plan
from compat.results import read_plan as read_plan

if TYPE_CHECKING:
    from compat.dataset.overlay import Setting
    from compat.dataset.read import Dataset
    from compat.engine.check import Check
    from compat.model.report import Question
    from compat.model.schedule import Schedule
    from compat.rulebook.rules import ParsedRule

StrPath = str | Path


@dataclass(frozen=True, slots=True)
class Inputs:
    """The files a judgement rests on, each optional.

    ``dataset`` is a folder or a version; ``drivers`` and ``outputs`` are the user's own equipment,
    laid over the dataset; ``project`` holds supply, breaker, cable, outputs on offer and defaults.
    """

    dataset: StrPath | None = None
    drivers: StrPath | None = None
    outputs: StrPath | None = None
    project: StrPath | None = None


def load_dataset(dataset: StrPath | None = None) -> Dataset:
    """A rules dataset by its folder or version; None is the one that came with the program.

    Raises BadInput when it is broken or of another edition than this program reads.
    """
    from compat.dataset.read import load_dataset as load
    from compat.engine.required_traits import check_traits

    found = load(None if dataset is None else _folder(dataset))
    if dataset is not None:
        check_traits(found)
    return found


def check(
    schedule: StrPath,
    *,
    drivers: StrPath | None = None,
    outputs: StrPath | None = None,
    project: StrPath | None = None,
    dataset: StrPath | None = None,
    sheet: str | None = None,
    types: str | None = None,
    map: StrPath | None = None,
    answers: StrPath | None = None,
    brief: bool = False,
) -> CheckResult:
    """Judge every circuit of a schedule file, and every control line.

    A project file of the schedule's name beside it is used when none is given. ``types`` is a sheet or
    file of luminaire types, ``map`` a file that says what headings mean, ``answers`` the workbook that
    :meth:`CheckResult.to_questions` gives, filled in. ``brief`` leaves out what only a full report shows.
    Raises BadInput.
    """
    inputs = Inputs(dataset, drivers, outputs, project)
    judge, read = open_schedule(schedule, inputs, sheet, types, map)
    if answers is not None:
        from compat.intake.answers import with_answers

        told = with_answers(Path(answers), judge.dataset, judge.setting, read)
        judge, read = replace(judge, dataset=told.dataset, setting=told.setting), told.schedule
    judge = replace(judge, brief=brief)
    report = judge.report(read)
    if report.circuits and not any(row.line for row in read.rows):
        from compat.planning.proposal import with_proposed_lines

        report = with_proposed_lines(judge, read, report)
    return CheckResult(report, Path(schedule), judge.dataset.vocabulary)


def lookup(
    driver: str | None = None,
    *,
    stated: Mapping[str, str | None] | None = None,
    traits: Sequence[str] = (),
    count: int | None = None,
    up_to: int | None = None,
    light_percent: float | None = None,
    fade_s: float | None = None,
    waveform: StrPath | None = None,
    drivers: StrPath | None = None,
    outputs: StrPath | None = None,
    project: StrPath | None = None,
    dataset: StrPath | None = None,
) -> LookupResult:
    """What may control a driver, how many of it each output and each breaker takes, and what follows.

    ``driver`` is an id or part of a name; ``stated`` maps options such as ``--watts`` to their text
    and ``traits`` holds ``name=value``; both stand in place of the driver's own. ``light_percent``, 0 to
    100, is told as a level, ``fade_s`` as a code; ``waveform`` is a CSV file of one second of light
    (seconds, light). Raises BadInput.
    """
    from compat.engine.arithmetic import Asked
    from compat.engine.lookup import COUNTS_UP_TO, Looker
    from compat.intake.driver_choice import choose_driver
    from compat.intake.driver_overrides import PLACE, Statements, described_driver
    from compat.model.faults import BadInput, Fault
    from compat.model.values import Origin

    opened = open_inputs(Inputs(dataset, drivers, outputs, project))
    known = opened.dataset
    overrides = Statements(known.vocabulary).read(stated or {}, traits)
    if driver is None and not overrides:
        do = "Name a driver, or state its values, such as --watts 12 --method 'trailing edge'"
        raise BadInput([Fault("there is no driver to look up", Origin(PLACE), do=do)])
    own = None if drivers is None else Path(drivers)
    base = choose_driver(driver, known, own) if driver is not None else None
    described, name, notes = described_driver(base, overrides, known.vocabulary)
    looker = Looker(known, opened.rules, opened.setting)
    measured = None
    if waveform is not None:
        from compat.intake.light_waveform import read_waveform

        measured = read_waveform(Path(waveform))
    asked = Asked(light_percent, fade_s, measured)
    found = looker.look(described, count, up_to or COUNTS_UP_TO, overrides, asked)
    told = [*notes, *opened.notes, *found.assumptions]
    return LookupResult(found.model_copy(update={"assumptions": told, "driver_name": name}))


def lookup_output(
    output: str,
    *,
    drivers: StrPath | None = None,
    outputs: StrPath | None = None,
    project: StrPath | None = None,
    dataset: StrPath | None = None,
) -> OutputLookupResult | None:
    """How many of each driver an output takes, by its id; None when there is no such output.

    Raises BadInput.
    """
    from compat.engine.lookup import Looker
    from compat.engine.output_lookup import look_up_output

    opened = open_inputs(Inputs(dataset, drivers, outputs, project))
    of_table = opened.dataset.tables["outputs"]
    found = of_table.get(output.strip().upper()) or of_table.get(output.strip())
    looker = Looker(opened.dataset, opened.rules, opened.setting)
    return OutputLookupResult(look_up_output(looker, found)) if found else None


def plan(
    schedule: StrPath,
    *,
    system: str | None = None,
    drivers: StrPath | None = None,
    outputs: StrPath | None = None,
    project: StrPath | None = None,
    dataset: StrPath | None = None,
    sheet: str | None = None,
    types: str | None = None,
    map: StrPath | None = None,
    swap: str | None = None,
    progress: Callable[[str], None] = lambda told: None,
) -> PlanResult:
    """Which kind of system holds the house of a schedule, and where each circuit goes on it.

    ``system`` is the id or slug of a kind, or a file that describes one; without it all kinds of the dataset
    are held against the house and the best is planned. What the house needs stands in the project file.
    ``swap`` is ``TYPE=DRIVER``: that luminaire type with another driver. Raises BadInput.
    """
    from compat.dataset.systems import chosen_systems
    from compat.intake.needs_sheets import joined, read_needs
    from compat.planning.whole_plan import plan_house

    inputs = Inputs(dataset, drivers, outputs, project)
    judge, read = open_schedule(schedule, inputs, sheet, types, map)
    if swap is not None:
        from compat.planning.swap import swapped

        read = swapped(read, swap, judge.dataset, None if drivers is None else Path(drivers))
    kinds = chosen_systems(judge.dataset, system)
    needs = joined(judge.setting.project.needs, read_needs(Path(schedule), judge.dataset.vocabulary))
    return PlanResult(plan_house(judge, read, kinds, needs, progress))


def addresses(
    kind: Literal["dali", "dmx"],
    schedule: StrPath,
    *,
    drivers: StrPath | None = None,
    outputs: StrPath | None = None,
    project: StrPath | None = None,
    dataset: StrPath | None = None,
    sheet: str | None = None,
    types: str | None = None,
    map: StrPath | None = None,
) -> AddressResult:
    """Start addresses of the DMX luminaires of a schedule, or short addresses of its DALI control gear.

    Raises BadInput.
    """
    from compat.planning.dali_addresses import dali_addresses
    from compat.planning.dmx_patch import dmx_patch

    inputs = Inputs(dataset, drivers, outputs, project)
    judge, read = open_schedule(schedule, inputs, sheet, types, map)
    circuits = judge.circuits(read)
    lines = judge.lines(circuits)
    if kind == "dmx":
        return AddressResult(dmx_patch(read, circuits, lines, judge.dataset))
    return AddressResult(dali_addresses(read, circuits, lines, judge.dataset, judge.rules, judge.site))


@dataclass(frozen=True, slots=True)
class Entry:
    """An entry of the dataset by its id and name."""

    id: str
    name: str


def list_entries(
    kind: Literal["drivers", "outputs", "rules", "sources"],
    words: Sequence[str] = (),
    *,
    drivers: StrPath | None = None,
    outputs: StrPath | None = None,
    dataset: StrPath | None = None,
) -> list[Entry]:
    """The entries of a kind whose id or name has all the words, compared without case. Raises BadInput."""
    opened = open_inputs(Inputs(dataset, drivers, outputs))
    known = opened.dataset
    if kind == "rules":
        found = [Entry(rule.rule.id, f"{rule.rule.slug}: {rule.rule.title}") for rule in opened.rules]
    elif kind == "sources":
        found = [Entry(source.id, source.short) for source in known.sources.values()]
    else:
        found = [Entry(entry.id, entry.name) for entry in known.tables[kind].values()]
    wanted = [word.casefold() for word in words]
    return [e for e in found if all(word in f"{e.id} {e.name}".casefold() for word in wanted)]


def list_incomplete(
    words: Sequence[str] = (),
    *,
    drivers: StrPath | None = None,
    outputs: StrPath | None = None,
    project: StrPath | None = None,
    dataset: StrPath | None = None,
) -> list[tuple[Entry, list[Question]]]:
    """What is not known of each driver and could change a verdict, the driver with most of it first.

    The questions of a driver go by how many rules hang on each. With ``drivers`` only the entries of that
    file are looked at. Raises BadInput.
    """
    from compat.engine.lookup import Looker

    opened = open_inputs(Inputs(dataset, drivers, outputs, project))
    of_dataset = load_dataset(dataset).tables["drivers"] if drivers is not None else {}
    own = [entry for key, entry in opened.dataset.tables["drivers"].items() if entry != of_dataset.get(key)]
    wanted = [word.casefold() for word in words]
    looker = Looker(opened.dataset, opened.rules, opened.setting)
    found = []
    for driver in own:
        if all(word in f"{driver.id} {driver.name}".casefold() for word in wanted):
            asked = sorted(looker.look(driver, 1, 1).questions, key=lambda question: -len(question.rules))
            found.append((Entry(driver.id, driver.name), asked))
    found = [(entry, asked) for entry, asked in found if asked]
    return sorted(found, key=lambda item: -sum(len(question.rules) for question in item[1]))


def explain(rule: str, *, dataset: StrPath | None = None) -> RuleExplanation:
    """A rule by its id or slug, those withdrawn included. Raises BadInput with the nearest names."""
    from compat.model.faults import BadInput, Fault, did_you_mean
    from compat.model.values import Origin
    from compat.rulebook.rules import cases_file, read_cases, read_rules

    known = load_dataset(dataset)
    rules = {
        entry.rule.id: entry for entry in read_rules(known.rules_folder, known.vocabulary, withdrawn=True)
    }
    by_slug = {entry.rule.slug: entry for entry in rules.values()}
    found = rules.get(rule.upper()) or by_slug.get(rule)
    if found is None:
        is_file = Path(rule).suffix and Path(rule).exists()
        do = (
            "To explain a circuit add --circuit, a control line --line"
            if is_file
            else did_you_mean(rule, [*rules, *by_slug])
        )
        allowed = "An id such as R0001, or a slug"
        raise BadInput([Fault(f"there is no rule '{rule}'", Origin("rules"), allowed, do)])
    return RuleExplanation(found, read_cases(cases_file(found.file)).case, known)


def project_lists(dataset: Dataset) -> dict[str, list[str]]:
    """What may be chosen on the sheet Project of a schedule's workbook, by its field."""
    from compat.rulebook.usual import usual_of

    return {
        "country": sorted(code for entry in usual_of(dataset).supplies for code in entry.countries),
        "supply": list(dataset.tables["supplies"]),
        "breaker": list(dataset.tables["breakers"]),
    }


@dataclass(frozen=True, slots=True)
class OpenedInputs:
    """Dataset with the user's equipment, rules in telling order, setting, and what was left unread."""

    dataset: Dataset
    rules: list[ParsedRule]
    setting: Setting
    notes: tuple[str, ...]


def open_inputs(inputs: Inputs) -> OpenedInputs:
    """Read everything a judgement rests on but the schedule. Raises BadInput."""
    from compat.dataset.overlay import read_setting
    from compat.dataset.read import data_root
    from compat.intake.own_equipment import with_own
    from compat.rulebook.dataset_cache import load, load_cached

    known = load_cached(data_root()) if inputs.dataset is None else load(load_dataset(inputs.dataset))
    drivers, outputs, project = (
        None if path is None else Path(path) for path in (inputs.drivers, inputs.outputs, inputs.project)
    )
    of_drivers = with_own(known.dataset, "drivers", drivers)
    of_outputs = with_own(of_drivers.dataset, "outputs", outputs)
    notes = tuple(
        f"{path.name}: {note}"
        for path, laid in ((drivers, of_drivers), (outputs, of_outputs))
        if path is not None
        for note in laid.notes
    )
    setting = read_setting(of_outputs.dataset, project, of_outputs.ids, known.defaults)
    return OpenedInputs(of_outputs.dataset, known.rules, setting, notes)


def open_schedule(
    schedule: StrPath,
    inputs: Inputs,
    sheet: str | None = None,
    types: str | None = None,
    map: StrPath | None = None,
) -> tuple[Check, Schedule]:
    """A schedule file as read, and the check it is for. Raises BadInput."""
    from compat.dataset.overlay import project_beside
    from compat.engine.check import Check
    from compat.engine.project_sheet import with_project_sheet
    from compat.engine.supply_of_rows import with_supply_of_rows
    from compat.intake.read import ReadOptions, read_schedule

    path = Path(schedule)
    # A path such as "." has no name; that it is no schedule is told where it is read.
    used = inputs.project or (project_beside(path) if path.name else None)
    opened = open_inputs(replace(inputs, project=used))
    dataset, tables = opened.dataset, opened.dataset.tables
    options = ReadOptions(sheet, types, None if map is None else Path(map))
    read = read_schedule(path, dataset.vocabulary, tables["drivers"], tables["outputs"], options=options)
    if used is not None:
        note = f"Supply, offer and defaults are from the project file {Path(used).name}."
        read = replace(read, notes=(note, *read.notes))
    stated = with_project_sheet(dataset, opened.setting, read)
    setting, note_of_supply = with_supply_of_rows(dataset, stated, read.rows)
    told = opened.notes if note_of_supply is None else (note_of_supply, *opened.notes)
    read = replace(read, notes=(*read.notes, *told))
    return Check(dataset, opened.rules, setting), read


def _folder(dataset: StrPath) -> Path:
    from compat.dataset.find import dataset_folder

    return dataset_folder(Path(dataset))
