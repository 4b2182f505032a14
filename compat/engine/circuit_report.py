"""The report on one circuit: its output, findings, remedies, questions, cautions, other outputs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from compat.dataset.read import Dataset, Equipment
from compat.engine.findings import Judged, because, judge
from compat.engine.gather import Circuit
from compat.engine.keys import verdict_and_place
from compat.engine.pair import Pair, place_of
from compat.engine.protection import Protection
from compat.engine.questions import questions_for
from compat.engine.ranking import load_bar, ranked
from compat.engine.site import Site
from compat.model.report import CircuitReport, Finding, Luminaires, OutputReport
from compat.model.verdicts import RANK, Verdict, worst
from compat.rulebook.rules import ParsedRule


class Disagreement(Exception):
    """The database and the plain-Python form differ on a verdict: a fault of the program."""


@dataclass(frozen=True, slots=True)
class CircuitJudge:
    """Judges circuits one by one; ``rules`` are those of the pairings, in telling order.

    ``brief`` leaves out what only a full report shows: all of a finding that holds but its verdict,
    and the sentences of the outputs not chosen.
    """

    dataset: Dataset
    rules: Sequence[ParsedRule]
    site: Site
    offer: Mapping[str, Equipment]
    outputs: Mapping[str, Equipment]
    protection: Protection
    brief: bool = False

    def report(self, circuit: Circuit, keys: Mapping[str, int]) -> CircuitReport:
        """The report; ``keys`` are the keys of the circuit on each output, from the database."""
        verdicts = {output: verdict_and_place(key)[0] for output, key in keys.items()}
        order = ranked({output: verdicts[output] for output in self.offer}, circuit, self.offer)
        chosen = circuit.output_id or (order[0] if order else None)
        output = self.outputs[chosen] if chosen else None
        pair = Pair(circuit, output, self.site, self.dataset)
        shared = self.protection.findings(circuit)
        judged = [found for rule in self.rules if (found := judge(rule, pair, self.brief)) is not None]
        if chosen and worst(found.finding.verdict for found in judged) != verdicts[chosen]:
            raise Disagreement(f"circuit {circuit.id} on {chosen}: the database says {verdicts[chosen]}")
        judged = sorted([*judged, *shared], key=lambda found: -RANK[found.finding.verdict])
        findings = [found.finding for found in judged]
        verdict = worst(finding.verdict for finding in findings) if output else "unproven"
        others = [self._other(circuit, other, keys[other], shared) for other in order if other != chosen]
        return CircuitReport(
            circuit=circuit.id,
            room=circuit.room,
            luminaires=[_luminaires(circuit, place) for place in range(len(circuit.members))],
            wanted_control=pair.text("circuit.wanted_control"),
            output=_output(pair, verdict, _first_open(findings)) if output else None,
            chosen_by="schedule" if circuit.output_id else "ranking" if chosen else "none",
            verdict=verdict,
            bar=load_bar(circuit, output) if output else None,
            findings=findings,
            remedies=remedies_of(findings),
            questions=questions_for(judged, verdict, pair),
            cautions=cautions_of(findings),
            other_outputs=others,
        )

    def _other(self, circuit: Circuit, name: str, key: int, shared: Sequence[Judged]) -> OutputReport:
        """Another output: its verdict and the rule that decided, without the other findings."""
        pair = Pair(circuit, self.outputs[name], self.site, self.dataset)
        verdict, place = verdict_and_place(key)
        grave = _first_open([found.finding for found in shared])
        if grave and RANK[grave.verdict] > RANK[verdict]:
            return _output(pair, grave.verdict, grave)
        if place is None:
            return _output(pair, verdict, None)
        rule = self.rules[place]
        return _output(pair, verdict, None, rule, "" if self.brief else because(rule, pair))


def _first_open(findings: Sequence[Finding]) -> Finding | None:
    """The finding that decides: the first, when it does not hold."""
    return findings[0] if findings and findings[0].verdict != "works" else None


def _output(
    pair: Pair, verdict: Verdict, decided: Finding | None, rule: ParsedRule | None = None, text: str = ""
) -> OutputReport:
    assert pair.output is not None
    return OutputReport(
        output=pair.output.id,
        name=pair.output.name,
        method=pair.text("output.method"),
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
