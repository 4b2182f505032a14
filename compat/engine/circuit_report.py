"""The report on one circuit: its output, findings, remedies, questions, cautions, other outputs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from compat.dataset.read import Dataset
from compat.engine.changes import Changes, Outcome
from compat.engine.decisive import FirstThings
from compat.engine.findings import Judged, because, judge, worst_first
from compat.engine.gather import Circuit
from compat.engine.join import verdict_and_place
from compat.engine.needs import needs_of
from compat.engine.questions import questions_for
from compat.engine.ranking import LoadLimits, on_plan
from compat.engine.subject import OutputSubject, Pairing, place_of
from compat.engine.verdicts import Verdicts
from compat.model.report import CircuitReport, Expected, Finding, Luminaires, OutputReport
from compat.model.verdicts import RANK, Verdict
from compat.rulebook.rules import ParsedRule


@dataclass(frozen=True, slots=True)
class CircuitJudge:
    """Reports on circuits by their place in the schedule; ``rules`` are those of the pairings, in
    telling order.

    ``brief`` leaves out what only a full report shows: all of a finding that holds but its verdict,
    and the sentences of the outputs not chosen; circuits that state the same are then reported once.
    """

    dataset: Dataset
    rules: Sequence[ParsedRule]
    offer: Mapping[str, OutputSubject]
    outputs: Mapping[str, OutputSubject]
    proven: Verdicts
    expected: Verdicts
    limits: LoadLimits
    changes: Changes
    first: FirstThings
    brief: bool = False
    _alike: dict[object, CircuitReport] = field(default_factory=dict)

    def report(self, place: int) -> CircuitReport:
        """The report on the circuit at a place."""
        if not self.brief:
            return self._report(place)
        circuit = self.proven.circuits[place]
        key = (
            id(circuit.values),
            id(self.expected.circuits[place].values),
            circuit.output_id,
            circuit.planned,
            circuit.planned_load,
            tuple((member.row.breaker, member.row.rcd, member.row.line) for member in circuit.members),
        )
        if key not in self._alike:
            self._alike[key] = self._report(place)
        return self._alike[key].model_copy(
            update={
                "circuit": circuit.id,
                "room": circuit.room,
                "luminaires": [_luminaires(circuit, number) for number in range(len(circuit.members))],
            }
        )

    def _report(self, place: int) -> CircuitReport:
        subject, circuit = self.proven.subjects[place], self.proven.circuits[place]
        verdicts, expected = self.proven.all_of(place), self.expected.all_of(place)
        planned = on_plan(subject, self.offer)
        order = self._ranked(planned, place) + self._ranked(
            {name: output for name, output in self.offer.items() if name not in planned}, place
        )
        chosen = circuit.output_id or (order[0] if order else None)
        output = self.outputs[chosen] if chosen else OutputSubject(self.dataset, None)
        pairing = Pairing(subject, output)
        judged = [found for rule in self.rules if (found := judge(rule, pairing, self.brief)) is not None]
        judged = worst_first([*judged, *self.proven.shared(place)])
        findings = [found.finding for found in judged]
        verdict = verdicts[chosen] if chosen else "unproven"
        likely, as_so = None, None
        if chosen and verdict == "unproven":
            likely = self._expected(place, chosen, judged)
            judged, as_so = self.first.settled(place, output, judged)
            findings = [entry.finding for entry in judged]
        now = Outcome.of(verdict, likely.verdict if likely else verdict)
        others = [self._other(place, other, expected[other]) for other in order if other != chosen]
        return CircuitReport(
            circuit=circuit.id,
            room=circuit.room,
            luminaires=[_luminaires(circuit, place) for place in range(len(circuit.members))],
            wanted_control=pairing.text("circuit.wanted_control"),
            output=_output(pairing, verdict, likely.verdict if likely else None, _first_open(findings))
            if chosen
            else None,
            chosen_by="schedule" if circuit.output_id else "ranking" if chosen else "none",
            verdict=verdict,
            bar=self.limits.bar(subject, output) if chosen else None,
            findings=findings,
            remedies=remedies_of(findings),
            questions=questions_for(judged, verdict, pairing, as_so),
            cautions=cautions_of(findings),
            other_outputs=others,
            expected=likely,
            needs=needs_of(self.expected.subjects[place], output, self.rules),
            changes=self.changes.of(place, output, now, judged) if now.worth else [],
        )

    def _ranked(self, offer: Mapping[str, OutputSubject], place: int) -> list[str]:
        """The ids of some outputs on offer, best first."""
        proven = self.proven.all_of(place)
        return self.limits.ranked(
            {name: proven[name] for name in offer},
            self.expected.all_of(place),
            self.proven.subjects[place],
            self.offer,
        )

    def _expected(self, place: int, output: str, judged: Sequence[Judged]) -> Expected:
        """What an unproven circuit is expected to be, why, and the usual values that decide it."""
        pairing = Pairing(self.expected.subjects[place], self.outputs[output])
        verdict, at = verdict_and_place(self.expected.keys[place][output])
        shared = _first_open([found.finding for found in self.expected.shared(place)])
        rule, told = (self.rules[at], "") if at is not None else (None, "")
        if shared and RANK[shared.verdict] > RANK[verdict]:
            verdict, rule, told = shared.verdict, None, shared.because
        names = dict.fromkeys(name for found in judged for name in found.open_names)
        usual = [one for name in names for one in pairing.inputs(name) if one.basis == "usual"]
        return Expected(
            verdict=verdict,
            rule=rule.rule.id if rule else shared.rule if told and shared else None,
            slug=rule.rule.slug if rule else shared.slug if told and shared else None,
            because=because(rule, pairing) if rule else told,
            remedy=rule.rule.remedies[0] if rule and rule.rule.remedies else "",
            usual=list({(one.name, one.label): one for one in usual}.values()),
        )

    def _other(self, place: int, name: str, expected: Verdict) -> OutputReport:
        """Another output: its verdict and the rule that decided, without the other findings."""
        pairing = Pairing(self.proven.subjects[place], self.outputs[name])
        verdict, at = verdict_and_place(self.proven.keys[place][name])
        grave = _first_open([found.finding for found in self.proven.shared(place)])
        if grave and RANK[grave.verdict] > RANK[verdict]:
            likely = expected if grave.verdict == "unproven" else None
            return _output(pairing, grave.verdict, likely, grave)
        likely = expected if verdict == "unproven" else None
        if at is None:
            return _output(pairing, verdict, likely, None)
        rule = self.rules[at]
        return _output(pairing, verdict, likely, None, rule, "" if self.brief else because(rule, pairing))


def _first_open(findings: Sequence[Finding]) -> Finding | None:
    """The finding that decides: the first, when it does not hold."""
    return findings[0] if findings and findings[0].verdict != "works" else None


def _output(
    pairing: Pairing,
    verdict: Verdict,
    expected: Verdict | None,
    decided: Finding | None,
    rule: ParsedRule | None = None,
    text: str = "",
) -> OutputReport:
    output = pairing.output.output
    assert output is not None
    return OutputReport(
        output=output.id,
        name=output.name,
        method=pairing.text("output.method"),
        verdict=verdict,
        expected=expected,
        rule=decided.rule if decided else rule.rule.id if rule else None,
        slug=decided.slug if decided else rule.rule.slug if rule else None,
        because=decided.because if decided else text,
    )


def _luminaires(circuit: Circuit, place: int) -> Luminaires:
    member = circuit.members[place]
    return Luminaires(
        luminaire_type=member.row.luminaire_type,
        quantity=member.row.quantity,
        driver=member.row.driver_id,
        driver_name=member.driver.name if member.driver else "",
        place=place_of(member.row.origins.get("quantity")),
    )


def remedies_of(findings: Sequence[Finding]) -> list[str]:
    """What to do about some findings: the remedies of those that are broken or may be."""
    broken = [finding for finding in findings if finding.verdict in ("hazard", "fails", "marginal")]
    return list(dict.fromkeys(remedy for finding in broken for remedy in finding.remedies))


def cautions_of(findings: Sequence[Finding]) -> list[str]:
    """Cautions of hazards found, and of hazards that an unknown leaves open."""
    told = [finding.caution for finding in findings if finding.caution and finding.verdict != "works"]
    return list(dict.fromkeys(told))
