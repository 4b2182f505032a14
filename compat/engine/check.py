"""The main job: a schedule in, a verdict with its number for every circuit out."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from compat import __version__
from compat.dataset.overlay import Setting
from compat.dataset.read import Dataset, Equipment
from compat.engine.findings import Judged, because, judge
from compat.engine.gather import Circuit, gather_circuits
from compat.engine.keys import verdict_and_place
from compat.engine.pair import Pair, place_of
from compat.engine.questions import questions_for
from compat.engine.ranking import load_bar, ranked
from compat.engine.verdicts import pairing_keys
from compat.model.cautions import STANDING_CAUTION
from compat.model.report import CircuitReport, DatasetStamp, Finding, Luminaires, OutputReport, Report
from compat.model.schedule import Schedule
from compat.model.verdicts import RANK, VERDICTS, Verdict, worst
from compat.rulebook.rules import ParsedRule


class Disagreement(Exception):
    """The database and the plain-Python form differ on a verdict: a fault of the program."""


@dataclass(frozen=True, slots=True)
class Check:
    """What a check of a schedule needs; ``report`` gives the answer."""

    dataset: Dataset
    rules: Sequence[ParsedRule]
    setting: Setting

    def report(self, schedule: Schedule) -> Report:
        """Judge every circuit of a schedule."""
        circuits = gather_circuits(schedule, self.dataset, self.setting.supply, self.setting.circuit_defaults)
        outputs = self._outputs(circuits)
        keys = pairing_keys(circuits, list(outputs.values()), self.setting.supply, self.dataset, self.rules)
        reports = [
            self._circuit(circuit, outputs, dict(zip(outputs, keys[place], strict=True)))
            for place, circuit in enumerate(circuits)
        ]
        counts = Counter(report.verdict for report in reports)
        return Report(
            program_version=__version__,
            dataset=DatasetStamp(version=self.dataset.version, sha256=self.dataset.sha256),
            schedule=schedule.file,
            schedule_sha256=schedule.sha256,
            supply=self._supply(circuits),
            counts={verdict: counts.get(verdict, 0) for verdict in VERDICTS},
            circuits=reports,
            notes=list(schedule.notes),
            caution=STANDING_CAUTION,
        )

    def _outputs(self, circuits: Sequence[Circuit]) -> dict[str, Equipment]:
        """The outputs on offer and those that circuits name."""
        named = dict.fromkeys(circuit.output_id for circuit in circuits if circuit.output_id)
        table = self.dataset.tables["outputs"]
        return {**self.setting.offer, **{output: table[output] for output in named}}

    def _supply(self, circuits: Sequence[Circuit]) -> list:  # type: ignore[type-arg]
        if not circuits:
            return []
        pair = Pair(circuits[0], None, self.setting.supply, self.dataset)
        names = [trait.full_name for trait in self.dataset.vocabulary.of_subject("supply")]
        return [entry for name in names for entry in pair.inputs(name)]

    def _circuit(
        self, circuit: Circuit, outputs: dict[str, Equipment], keys: dict[str, int]
    ) -> CircuitReport:
        verdicts = {output: verdict_and_place(key)[0] for output, key in keys.items()}
        on_offer = {output: verdicts[output] for output in self.setting.offer}
        order = ranked(on_offer, circuit, self.setting.offer)
        chosen = circuit.output_id or (order[0] if order else None)
        output = outputs[chosen] if chosen else None
        pair = Pair(circuit, output, self.setting.supply, self.dataset)
        judged = [found for rule in self.rules if (found := judge(rule, pair)) is not None]
        judged.sort(key=lambda found: -RANK[found.finding.verdict])
        findings = [found.finding for found in judged]
        verdict = worst(finding.verdict for finding in findings) if output else "unproven"
        if chosen and verdict != verdicts[chosen]:
            raise Disagreement(f"circuit {circuit.id} on {chosen}: {verdict} against {verdicts[chosen]}")
        others = [self._other(circuit, outputs[other], keys[other]) for other in order if other != chosen]
        return CircuitReport(
            circuit=circuit.id,
            room=circuit.room,
            luminaires=[_luminaires(circuit, place) for place in range(len(circuit.members))],
            wanted_control=pair.text("circuit.wanted_control"),
            output=self._told(pair, findings) if output else None,
            chosen_by="schedule" if circuit.output_id else "ranking" if chosen else "none",
            verdict=verdict,
            bar=load_bar(circuit, output) if output else None,
            findings=findings,
            remedies=_remedies(findings),
            questions=questions_for(judged, verdict, pair),
            cautions=_cautions(judged, verdict),
            other_outputs=others,
        )

    def _told(self, pair: Pair, findings: Sequence[Finding]) -> OutputReport:
        assert pair.output is not None
        verdict = worst(finding.verdict for finding in findings)
        first = findings[0] if findings and verdict != "works" else None
        return self._output(
            pair,
            verdict,
            first.rule if first else None,
            first.slug if first else None,
            first.because if first else "",
        )

    def _other(self, circuit: Circuit, output: Equipment, key: int) -> OutputReport:
        pair = Pair(circuit, output, self.setting.supply, self.dataset)
        verdict, place = verdict_and_place(key)
        if place is None:
            return self._output(pair, verdict, None, None, "")
        rule = self.rules[place]
        return self._output(pair, verdict, rule.rule.id, rule.rule.slug, because(rule, pair))

    def _output(
        self, pair: Pair, verdict: Verdict, rule: str | None, slug: str | None, text: str
    ) -> OutputReport:
        assert pair.output is not None
        return OutputReport(
            output=pair.output.id,
            name=pair.output.name,
            method=pair.text("output.method"),
            verdict=verdict,
            rule=rule,
            slug=slug,
            because=text,
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


def _remedies(findings: Sequence[Finding]) -> list[str]:
    broken = [finding for finding in findings if finding.verdict in ("hazard", "fails", "marginal")]
    return list(dict.fromkeys(remedy for finding in broken for remedy in finding.remedies))


def _cautions(judged: Sequence[Judged], verdict: Verdict) -> list[str]:
    """Cautions of hazards found, and of hazards that an unknown leaves open."""
    told = [found for found in judged if found.finding.caution and found.finding.verdict != "works"]
    return list(dict.fromkeys(found.finding.caution for found in told))
