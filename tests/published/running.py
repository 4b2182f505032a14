"""Published values run: their schedules through the engine, their bare values through a rule."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from compat.dataset.overlay import read_setting
from compat.dataset.read import Dataset, Equipment
from compat.dataset.values import trait_of
from compat.engine.check import Check
from compat.model.report import Finding
from compat.model.schedule import Schedule, ScheduleRow
from compat.model.values import Content, Interval, Trait
from compat.model.verdicts import Verdict
from compat.model.vocabulary import Vocabulary
from compat.rulebook.cases import evaluation
from compat.rulebook.nodes import QuantityNode
from compat.rulebook.reference import Evaluation
from compat.rulebook.rules import ParsedRule
from compat.rulebook.truth import NO, verdict_of
from compat.rulebook.units import measure_of
from tests.published.published import AnyTrial, Figure, PublishedValue, RuleTrial, Trial, all_trials


@dataclass(frozen=True, slots=True)
class Told:
    """What a rule said: the same for a finding of the engine and for a rule by itself."""

    verdict: Verdict
    demand: Figure | None
    limit: Figure | None
    margin_percent: float | None


# By id of the value and name of the trial, then by slug of the rule; a rule left out does not apply.
ToldByTrial = dict[tuple[str, str], dict[str, Told]]


def told_of(values: Iterable[PublishedValue], dataset: Dataset, rules: list[ParsedRule]) -> ToldByTrial:
    """What the rules say on each trial; all schedules are checked as circuits of one."""
    trials = all_trials(values)
    scheduled = [(value_id, trial) for value_id, trial in trials if isinstance(trial, Trial)]
    told = _through_the_engine(scheduled, dataset, rules) if scheduled else {}
    by_slug = {rule.rule.slug: rule for rule in rules}
    for value_id, trial in trials:
        if isinstance(trial, RuleTrial):
            said = _by_the_rule(trial, by_slug[trial.rule], dataset.vocabulary)
            told[value_id, trial.name] = {trial.rule: said} if said else {}
    return told


def differences(trial: AnyTrial, told: Mapping[str, Told]) -> list[str]:
    """What is other than expected, in words; empty when all agrees."""
    said = told.get(trial.rule)
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
    rows: list[ScheduleRow] = []
    for place, (value_id, trial) in enumerate(trials):
        output = f"made-{place}"
        outputs[output] = Equipment(output, trial.name, _traits(trial.output, "output", dataset.vocabulary))
        for member in trial.drivers:
            row = ScheduleRow(
                number=len(rows) + 1,
                circuit=f"{value_id}: {trial.name}",
                quantity=member.quantity,
                luminaire_type=member.luminaire_type,
                output_id=output,
                driver_traits=_traits(member.traits, "driver", dataset.vocabulary),
                circuit_traits=_traits(trial.circuit, "circuit", dataset.vocabulary),
            )
            rows.append(row)
    made = replace(dataset, tables={**dataset.tables, "outputs": outputs})
    setting = replace(read_setting(dataset, None, None), offer={})
    report = Check(made, rules, setting).report(Schedule("made in a test", "", tuple(rows)))
    findings = {circuit.circuit: circuit.findings for circuit in report.circuits}
    return {
        (value_id, trial.name): {
            finding.slug: _of_finding(finding) for finding in findings[f"{value_id}: {trial.name}"]
        }
        for value_id, trial in trials
    }


def _of_finding(finding: Finding) -> Told:
    demand, limit = (
        Figure(amount.low, amount.high, amount.unit) if amount else None
        for amount in (finding.demand, finding.limit)
    )
    return Told(finding.verdict, demand, limit, finding.margin_percent)


def _by_the_rule(trial: RuleTrial, rule: ParsedRule, vocabulary: Vocabulary) -> Told | None:
    values: dict[str, Content] = {
        name: trait_of(value, vocabulary.traits[name], vocabulary, "declared", None).content
        for name, value in trial.given.items()
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
    node: QuantityNode | None, expected: Figure | None, run: Evaluation, vocabulary: Vocabulary
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


def _traits(values: Mapping[str, Any], subject: str, vocabulary: Vocabulary) -> dict[str, Trait]:
    return {
        name: trait_of(value, vocabulary.traits[f"{subject}.{name}"], vocabulary, "declared", None)
        for name, value in values.items()
    }
