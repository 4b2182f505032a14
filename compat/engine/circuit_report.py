"""The report on one circuit: its output, findings, remedies, questions, cautions, other outputs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from compat.dataset.read import Dataset
from compat.engine.findings import Judged, because, judge
from compat.engine.gather import Circuit
from compat.engine.join import verdict_and_place
from compat.engine.protection import Protection
from compat.engine.questions import questions_for
from compat.engine.ranking import LoadLimits
from compat.engine.subject import CircuitSubject, OutputSubject, Pairing, place_of
from compat.model.report import CircuitReport, Finding, Luminaires, OutputReport
from compat.model.verdicts import RANK, Verdict, worst
from compat.rulebook.rules import ParsedRule


@dataclass(frozen=True, slots=True)
class CircuitJudge:
    """Judges circuits one by one; ``rules`` are those of the pairings, in telling order.

    ``brief`` leaves out what only a full report shows: all of a finding that holds but its verdict,
    and the sentences of the outputs not chosen.
    """

    dataset: Dataset
    rules: Sequence[ParsedRule]
    offer: Mapping[str, OutputSubject]
    outputs: Mapping[str, OutputSubject]
    protection: Protection
    limits: LoadLimits
    brief: bool = False

    def report(self, subject: CircuitSubject, keys: Mapping[str, int]) -> CircuitReport:
        """The report; ``keys`` are the keys of the circuit on each output."""
        circuit = subject.circuit
        assert isinstance(circuit, Circuit)
        verdicts = {output: verdict_and_place(key)[0] for output, key in keys.items()}
        order = self.limits.ranked({output: verdicts[output] for output in self.offer}, subject, self.offer)
        chosen = circuit.output_id or (order[0] if order else None)
        output = self.outputs[chosen] if chosen else OutputSubject(self.dataset, None)
        pairing = Pairing(subject, output)
        shared = self.protection.findings(circuit)
        judged = [found for rule in self.rules if (found := judge(rule, pairing, self.brief)) is not None]
        judged = sorted([*judged, *shared], key=lambda found: -RANK[found.finding.verdict])
        findings = [found.finding for found in judged]
        verdict = worst(finding.verdict for finding in findings) if chosen else "unproven"
        others = [self._other(subject, other, keys[other], shared) for other in order if other != chosen]
        return CircuitReport(
            circuit=circuit.id,
            room=circuit.room,
            luminaires=[_luminaires(circuit, place) for place in range(len(circuit.members))],
            wanted_control=pairing.text("circuit.wanted_control"),
            output=_output(pairing, verdict, _first_open(findings)) if chosen else None,
            chosen_by="schedule" if circuit.output_id else "ranking" if chosen else "none",
            verdict=verdict,
            bar=self.limits.bar(subject, output) if chosen else None,
            findings=findings,
            remedies=remedies_of(findings),
            questions=questions_for(judged, verdict, pairing),
            cautions=cautions_of(findings),
            other_outputs=others,
        )

    def _other(self, subject: CircuitSubject, name: str, key: int, shared: Sequence[Judged]) -> OutputReport:
        """Another output: its verdict and the rule that decided, without the other findings."""
        pairing = Pairing(subject, self.outputs[name])
        verdict, place = verdict_and_place(key)
        grave = _first_open([found.finding for found in shared])
        if grave and RANK[grave.verdict] > RANK[verdict]:
            return _output(pairing, grave.verdict, grave)
        if place is None:
            return _output(pairing, verdict, None)
        rule = self.rules[place]
        return _output(pairing, verdict, None, rule, "" if self.brief else because(rule, pairing))


def _first_open(findings: Sequence[Finding]) -> Finding | None:
    """The finding that decides: the first, when it does not hold."""
    return findings[0] if findings and findings[0].verdict != "works" else None


def _output(
    pairing: Pairing,
    verdict: Verdict,
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
