"""Published values run: their schedules through the engine, their bare values through a rule."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from compat.dataset.consequences import with_consequences
from compat.dataset.read import Dataset, Equipment
from compat.dataset.values import trait_of
from compat.engine.arithmetic import Asked, arithmetic
from compat.engine.check import Check
from compat.engine.gather import gather_circuits, gather_rows
from compat.engine.lines import gather_line, judge_line
from compat.engine.site import Site
from compat.model.report import Finding
from compat.model.schedule import Schedule, ScheduleRow
from compat.model.values import Content, Interval
from compat.model.verdicts import Verdict
from compat.model.vocabulary import Vocabulary
from compat.rulebook.cases import evaluation
from compat.rulebook.evaluator import Evaluator
from compat.rulebook.nodes import QuantityNode
from compat.rulebook.rules import ParsedRule
from compat.rulebook.truth import NO, verdict_of
from compat.rulebook.units import measure_of
from tests.published.published import (
    AnyTrial,
    Figure,
    LineTrial,
    LookupTrial,
    PublishedValue,
    RuleTrial,
    SentenceTrial,
    Trial,
    all_trials,
)
from tests.published.surroundings import looked_up, setting_of, traits


@dataclass(frozen=True, slots=True)
class Told:
    """What a rule said: the same for a finding of the engine and for a rule by itself.

    Of a look-up there are only the ``counts`` for the breaker, or the ``sentences``.
    """

    verdict: Verdict | None
    demand: Figure | None = None
    limit: Figure | None = None
    margin_percent: float | None = None
    counts: Mapping[str, Any] = field(default_factory=dict)
    sentences: tuple[str, ...] = ()


# By id of the value and name of the trial, then by slug of the rule; a rule left out does not apply.
ToldByTrial = dict[tuple[str, str], dict[str, Told]]


def told_of(values: Iterable[PublishedValue], dataset: Dataset, rules: list[ParsedRule]) -> ToldByTrial:
    """What the rules say on each trial; schedules in the same surroundings are circuits of one."""
    trials = all_trials(values)
    scheduled: dict[str, list[tuple[str, Trial]]] = {}
    for value_id, trial in trials:
        if isinstance(trial, Trial):
            scheduled.setdefault(repr(trial.around), []).append((value_id, trial))
    told: ToldByTrial = {}
    for together in scheduled.values():
        told |= _through_the_engine(together, dataset, rules)
    by_slug = {rule.rule.slug: rule for rule in rules}
    for value_id, trial in trials:
        if isinstance(trial, RuleTrial):
            said = _by_the_rule(trial, by_slug[trial.rule], dataset.vocabulary)
            told[value_id, trial.name] = {trial.rule: said} if said else {}
        if isinstance(trial, LineTrial):
            said = _on_a_line(trial, by_slug[trial.rule], dataset)
            told[value_id, trial.name] = {trial.rule: said} if said else {}
        if isinstance(trial, SentenceTrial):
            told[value_id, trial.name] = {"": Told(None, sentences=_said(trial, dataset))}
        if isinstance(trial, LookupTrial):
            counts = looked_up(trial, dataset).model_dump()
            told[value_id, trial.name] = {trial.rule: Told(None, counts=counts)}
    return told


def differences(trial: AnyTrial, told: Mapping[str, Told]) -> list[str]:
    """What is other than expected, in words; empty when all agrees."""
    said = told.get(trial.rule)
    if isinstance(trial, SentenceTrial):
        sentences = said.sentences if said else ()
        return [] if any(trial.says in one for one in sentences) else [f"said {sentences}"]
    if isinstance(trial, LookupTrial):
        counted = said.counts if said else {}
        return [
            f"{name} {counted.get(name)}, expected {expected}"
            for name, expected in trial.counts.items()
            if name not in counted or counted[name] != expected
        ]
    if said is None or trial.verdict is None:
        found = said.verdict if said else None
        return [] if found == trial.verdict else [f"verdict {found}, expected {trial.verdict}"]
    wrong = [f"verdict {said.verdict}, expected {trial.verdict}"] if said.verdict != trial.verdict else []
    for what in ("demand", "limit", "margin_percent"):
        found, expected = getattr(said, what), getattr(trial, what)
        if expected is not None and found != expected:
            wrong.append(f"{what} {found}, expected {expected}")
    # Rounding of a sum may leave a margin a hair below zero at the limit itself.
    margin = said.margin_percent
    if margin is not None and (margin >= -1e-7) != (said.verdict == "works"):
        wrong.append(f"margin {margin} % beside the verdict {said.verdict}")
    return wrong


def _through_the_engine(
    trials: list[tuple[str, Trial]], dataset: Dataset, rules: list[ParsedRule]
) -> ToldByTrial:
    outputs: dict[str, Equipment] = {}
    plain_lamp = {"load_type": "integral_lamp"}
    rows: list[ScheduleRow] = []
    for place, (value_id, trial) in enumerate(trials):
        output = f"made-{place}"
        of_off_state = trial.rule == "off-state-current-above-tolerated"
        stated = {**({"listed_load_types": ["incandescent"]} if of_off_state else {}), **trial.output}
        made_traits = with_consequences("output", traits(stated, "output", dataset.vocabulary))
        outputs[output] = Equipment(output, trial.name, made_traits)
        for member in trial.drivers:
            row = ScheduleRow(
                number=len(rows) + 1,
                circuit=f"{value_id}: {trial.name}",
                quantity=member.quantity,
                luminaire_type=member.luminaire_type,
                output_id=output,
                driver_traits=traits(
                    {**(plain_lamp if of_off_state else {}), **member.traits}, "driver", dataset.vocabulary
                ),
                circuit_traits=traits(trial.circuit, "circuit", dataset.vocabulary),
            )
            rows.append(row)
    made = replace(dataset, tables={**dataset.tables, "outputs": outputs})
    asked = {trial.rule for _, trial in trials}
    judged = [rule for rule in rules if rule.rule.slug in asked]
    report = Check(made, judged, setting_of(trials[0][1].around, dataset)).report(
        Schedule("made in a test", "", tuple(rows))
    )
    findings = {circuit.circuit: circuit.findings for circuit in report.circuits}
    return {
        (value_id, trial.name): {
            finding.slug: _of_finding(finding) for finding in findings[f"{value_id}: {trial.name}"]
        }
        for value_id, trial in trials
    }


def _on_a_line(trial: LineTrial, rule: ParsedRule, dataset: Dataset) -> Told | None:
    """What a rule says of a line, gathered and computed as the engine does it."""
    vocabulary = dataset.vocabulary
    rows = tuple(
        ScheduleRow(
            number=place,
            circuit=member.luminaire_type,
            quantity=member.quantity,
            luminaire_type=member.luminaire_type,
            line=trial.name,
            driver_traits=traits(member.traits, "driver", vocabulary),
        )
        for place, member in enumerate(trial.drivers, start=1)
    )
    supply = dataset.tables["supplies"]["U0001"]
    circuits = gather_circuits(Schedule("made in a test", "", rows), dataset, supply, {})
    line = gather_line(trial.name, circuits, dataset, traits(trial.line, "line", vocabulary), {})
    found = judge_line(line, [rule], Site(supply), dataset)
    return _of_finding(found[0].finding) if found else None


def _said(trial: SentenceTrial, dataset: Dataset) -> tuple[str, ...]:
    (member,) = trial.drivers
    stated = traits(member.traits, "driver", dataset.vocabulary)
    row = ScheduleRow(1, "made", member.quantity, luminaire_type="L1", driver_traits=stated)
    circuit = gather_rows("made", [row], dataset, Site(dataset.tables["supplies"]["U0001"]), {})
    return tuple(arithmetic(circuit, Asked(**trial.asked), counted=True))


def _of_finding(finding: Finding) -> Told:
    demand, limit = (
        Figure(amount.low, amount.high, amount.unit) if amount else None
        for amount in (finding.demand, finding.limit)
    )
    return Told(finding.verdict, demand, limit, finding.margin_percent)


# What a published trial of one rule does not speak of, in the way that leaves the rule to its figures.
NOT_SPOKEN_OF: dict[str, Any] = {
    "circuit.long_run_supplement_percent": 0,
    "circuit.likely_inrush_peak_a": 1e6,
    "circuit.likely_release_peak_a": 1,
    "circuit.surely_held_count": 0,
    "circuit.driver_count": 1,
    "circuit.greatest_current_a": 1e9,
    "circuit.inrush_known": True,
    "supply.jurisdiction": "none",
    "circuit.load_types": ["constant_current_driver"],
    "circuit.input_power_w": 1,
    "circuit.input_capacitance_uf": 1e6,
    "circuit.input_current_a": 1,
    "circuit.nema_410": False,
    "output.incandescent_max_w": 0,
    "output.capacitance_max_uf": 0,
    "output.ballast_current_max_a": 0,
    "output.zero_crossing": False,
    "output.count_stated": False,
    "output.switching_element": "triac",
    "output.listed_load_types": ["incandescent"],
    "output.max_drivers": 1,
    "circuit.hot_restart_wanted": True,
    "circuit.multiwire_common_disconnection": False,
}


def _unspoken(trial: RuleTrial, rule: ParsedRule) -> dict[str, Any]:
    """What stands in for the names of a rule that a trial leaves out; of two peaks the first is both."""
    found = {name: value for name, value in NOT_SPOKEN_OF.items() if name in rule.names}
    for name in rule.names:
        first = name.replace("_2_max", "_max")
        if first != name and first in trial.given:
            found[name] = trial.given[first]
    return found


def _by_the_rule(trial: RuleTrial, rule: ParsedRule, vocabulary: Vocabulary) -> Told | None:
    values: dict[str, Content] = {
        name: trait_of(value, vocabulary.traits[name], vocabulary, "declared", None).content
        for name, value in {**_unspoken(trial, rule), **trial.given}.items()
    }
    run = evaluation(values, vocabulary)
    if run.truth(rule.applies) == NO:
        return None
    return Told(
        verdict_of(run.truth(rule.condition), rule.rule.breach),
        _figure(rule.demand, trial.demand, run, vocabulary),
        _figure(rule.limit, trial.limit, run, vocabulary),
        None,
    )


def _figure(
    node: QuantityNode | None, expected: Figure | None, run: Evaluator, vocabulary: Vocabulary
) -> Figure | None:
    """The quantity in the unit that is expected, where that has its dimension."""
    if node is None or expected is None:
        return None
    unit = measure_of(vocabulary.units[expected.unit])
    found: Interval | None = run.quantity(node)
    if found is None or not unit.same_dimension(node.measure):
        return Figure(None, None, expected.unit)
    factor = node.measure.factor / unit.factor
    return Figure(found.low * factor, found.high * factor, expected.unit)
