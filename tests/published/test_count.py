"""How many published values are held against the rules, counted from the test files themselves."""

from __future__ import annotations

import re
from collections import Counter
from importlib import import_module
from pathlib import Path
from types import ModuleType

from tests.published.published import (
    CONFIDENCE_MEANING,
    AnyTrial,
    LineTrial,
    LookupTrial,
    PublishedValue,
    RuleTrial,
    SentenceTrial,
)

WANTED = 45
WANTED_ON_LINES = 60
WANTED_ON_THE_MAINS = 60
# Worked values, figures of the text, and the simulations of inrush, breaker and phase cut.
ON_THE_MAINS = re.compile(r"(WE-\d\d|M[1-5]\.\d .+|M5 S\d\d?|N[1345] .+)")
NEVER_FROM_MEMORY = ("fails", "hazard")


def modules() -> list[ModuleType]:
    """The test files of this folder that hold published values."""
    names = sorted(path.stem for path in Path(__file__).parent.glob("test_*.py"))
    found = [import_module(f"tests.published.{name}") for name in names if name != Path(__file__).stem]
    return [module for module in found if hasattr(module, "VALUES")]


def values() -> list[PublishedValue]:
    return [value for module in modules() for value in module.VALUES]


def content(trial: AnyTrial) -> str:
    """What a trial puts in and expects, without its name."""
    match trial:
        case RuleTrial():
            put_in: object = trial.given
        case LineTrial():
            put_in = (trial.drivers, trial.line)
        case SentenceTrial():
            put_in = (trial.drivers, trial.asked, trial.says)
        case LookupTrial():
            put_in = (trial.driver, trial.breaker, trial.counts, trial.around)
        case _:
            put_in = (trial.drivers, trial.output, trial.circuit, trial.around)
    return repr((trial.rule, put_in, trial.verdict, trial.demand, trial.limit))


def test_enough_distinct_values_with_a_source() -> None:
    """Values from memory and of common practice are run too, but do not count here."""
    counted = {value.id for value in values() if value.confidence not in ("memory", "common_practice")}
    assert len(counted) >= WANTED, f"{len(counted)} published values: {sorted(counted)}"


def test_enough_of_them_go_through_control_lines() -> None:
    counted = {
        value.id
        for value in values()
        if value.confidence not in ("memory", "common_practice")
        and any(isinstance(trial, LineTrial) for trial in value.trials)
    }
    assert len(counted) >= WANTED_ON_LINES, f"{len(counted)} values on lines: {sorted(counted)}"


def test_enough_of_them_are_about_the_mains() -> None:
    counted = {
        value.id
        for value in values()
        if value.confidence not in ("memory", "common_practice") and ON_THE_MAINS.fullmatch(value.id)
    }
    read = {
        value.id
        for value in values()
        if value.confidence in ("verified", "second_hand") and value.id in counted
    }
    assert len(counted) >= WANTED_ON_THE_MAINS, f"{len(counted)} values on the mains: {sorted(counted)}"
    assert len(read) >= WANTED_ON_THE_MAINS // 2, f"{len(read)} of them read somewhere: {sorted(read)}"


def test_every_file_with_values_runs_them() -> None:
    assert [module.__name__ for module in modules() if not hasattr(module, "test_published_value")] == []


def test_each_id_is_given_once() -> None:
    counts = Counter(value.id for value in values())
    assert {value_id for value_id, count in counts.items() if count > 1} == set()


def test_no_two_values_are_the_same_trials_under_two_names() -> None:
    counts = Counter(tuple(sorted(map(content, value.trials))) for value in values())
    assert max(counts.values()) == 1


def test_each_value_names_its_source_and_how_sure_it_is() -> None:
    silent = [
        value.id
        for value in values()
        if not (value.source and value.locator and value.states and value.trials)
    ]
    assert silent == []
    assert {value.confidence for value in values()} <= set(CONFIDENCE_MEANING)


def test_nothing_from_memory_fails() -> None:
    remembered = [value for value in values() if value.confidence == "memory"]
    hard = [value.id for value in remembered for trial in value.trials if trial.verdict in NEVER_FROM_MEMORY]
    assert remembered != []
    assert hard == []


def test_a_limit_is_tried_at_the_figure_and_past_it() -> None:
    """A value with a trial exactly at its limit has one on the other side as well."""
    for value in values():
        verdicts = {trial.verdict for trial in value.trials}
        if any(trial.margin_percent == 0.0 for trial in value.trials):
            assert verdicts & {"fails", "marginal", "hazard"}, value.id


def test_names_of_trials_are_distinct_within_a_value() -> None:
    for value in values():
        names = [trial.name for trial in value.trials]
        assert len(set(names)) == len(names), value.id


def test_ids_are_those_of_the_list_of_facts() -> None:
    """W001 to W124 for worked values, a letter and number or a section for the figures of the text.

    Those of the mains side have forms of their own.
    """
    form = re.compile(r"W(0\d\d|1[01]\d|12[0-4])|[AD]\d\d( .+)?|[1-4]\.\d( .+)?")
    assert [
        value.id
        for value in values()
        if not form.fullmatch(value.id) and not ON_THE_MAINS.fullmatch(value.id)
    ] == []
