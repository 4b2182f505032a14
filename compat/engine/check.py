"""The main job: a schedule in, a verdict with its number for every circuit out."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from compat import __version__
from compat.dataset.overlay import Setting
from compat.dataset.read import Dataset
from compat.engine.changes import Changes
from compat.engine.circuit_report import CircuitJudge
from compat.engine.decisive import FirstThings, told_as_so
from compat.engine.enquiries import enquiries_of
from compat.engine.gather import Circuit, by_label, gather_circuits
from compat.engine.line_report import report_line
from compat.engine.line_stated import kind_of_output
from compat.engine.lines import Line, gather_line, taken_as_good, with_line_columns
from compat.engine.needs import kinds_of
from compat.engine.protection import is_shared
from compat.engine.ranking import LoadLimits
from compat.engine.site import Site, site_of, usual_site_of
from compat.engine.subject import CircuitSubject, OutputSubject, content_text
from compat.engine.verdicts import Verdicts
from compat.model.cautions import STANDING_CAUTION
from compat.model.report import CircuitReport, DatasetStamp, Input, LineReport, Report
from compat.model.schedule import Schedule
from compat.model.verdicts import VERDICTS
from compat.rulebook.relations import relations_of
from compat.rulebook.rules import ParsedRule, is_of_circuit
from compat.rulebook.usual import usual_of

SITE_SUBJECTS = ("supply", "breaker", "cable", "source_impedance")


@dataclass(frozen=True, slots=True)
class Check:
    """What a check of a schedule needs; ``report`` gives the answer, ``brief`` for a listing only."""

    dataset: Dataset
    rules: Sequence[ParsedRule]
    setting: Setting
    brief: bool = False
    # The schedule stands beside what was made of it, so that its identity cannot pass to another.
    _made: dict[tuple[int, bool], tuple[Schedule, list[Circuit]]] = field(
        init=False, default_factory=dict, repr=False, compare=False
    )

    def report(self, schedule: Schedule) -> Report:
        """Judge every circuit of a schedule, and every line that circuits share."""
        circuits = self.circuits(schedule)
        outputs = self._outputs(circuits)
        rules = self.circuit_rules
        proven, expected = self.footings(schedule, circuits, outputs)
        offer = {output: outputs[output] for output in self.setting.offer}
        limits = LoadLimits(rules)
        changes = Changes(proven, expected, rules, offer, limits, self.setting.circuit_defaults)
        first = FirstThings(expected, self.setting.circuit_defaults)
        judge = CircuitJudge(
            self.dataset, rules, offer, outputs, proven, expected, limits, changes, first, self.brief
        )
        reports = [judge.report(place) for place in range(len(circuits))]
        lines = self.lines(circuits)
        placed = self._on_outputs(
            expected.circuits, {one.circuit: one.output.output for one in reports if one.output}
        )
        lines_told = [
            self.report_line(line, filled)
            for line, filled in zip(lines, self.lines(placed, usual=True), strict=True)
        ]
        counts = Counter(report.verdict for report in reports)
        return Report(
            program_version=__version__,
            dataset=DatasetStamp(version=self.dataset.version, sha256=self.dataset.sha256),
            schedule=schedule.file,
            schedule_sha256=schedule.sha256,
            supply=self._site_inputs(proven.subjects),
            counts={verdict: counts.get(verdict, 0) for verdict in VERDICTS},
            circuits=reports,
            lines=lines_told,
            notes=[
                *schedule.notes,
                *self._assumed(),
                *self._as_so(reports),
                *_contradictions(circuits, self.dataset),
                *self._unused_lines([line.id for line in lines]),
                *_taken(lines),
            ],
            caution=STANDING_CAUTION,
            enquiries=enquiries_of(reports, lines_told),
            kinds=kinds_of(reports, proven, expected, offer),
        )

    @property
    def circuit_rules(self) -> list[ParsedRule]:
        """The rules that judge one circuit on one output, in telling order."""
        return [rule for rule in self.rules if is_of_circuit(rule) and not is_shared(rule)]

    def footings(
        self, schedule: Schedule, circuits: Sequence[Circuit], outputs: Mapping[str, OutputSubject]
    ) -> tuple[Verdicts, Verdicts]:
        """The verdicts of circuits on outputs by what is known, and with usual values in the gaps."""
        rules = self.circuit_rules
        proven = self._verdicts(circuits, outputs, rules, self.site)
        usual = [
            known if known.is_like(filled) else filled
            for known, filled in zip(circuits, self.usual_circuits(schedule), strict=True)
        ]
        # Around the same circuit the site is another where the usual breaker stands in.
        like = proven if self.usual_site.breaker is self.site.breaker else None
        return proven, self._verdicts(usual, outputs, rules, self.usual_site, like)

    @property
    def site(self) -> Site:
        """The site of the setting."""
        return site_of(self.setting)

    @property
    def usual_site(self) -> Site:
        """The same with usual values in the gaps, for expected verdicts."""
        return usual_site_of(self.setting, self.dataset)

    def circuits(self, schedule: Schedule) -> list[Circuit]:
        """The circuits of a schedule."""
        return self._circuits(schedule, self.site)

    def usual_circuits(self, schedule: Schedule) -> list[Circuit]:
        """The circuits of a schedule with usual values in their gaps."""
        return self._circuits(schedule, self.usual_site)

    def _circuits(self, schedule: Schedule, site: Site) -> list[Circuit]:
        """Made once for a schedule, since verdicts and proposals of lines both ask."""
        setting, key = self.setting, (id(schedule), site.usual is not None)
        if key not in self._made:
            circuits = gather_circuits(
                schedule, self.dataset, setting.supply, setting.circuit_defaults, site, self.brief
            )
            self._made[key] = schedule, with_line_columns(circuits, setting)
        return self._made[key][1]

    def _verdicts(
        self,
        circuits: Sequence[Circuit],
        outputs: Mapping[str, OutputSubject],
        rules: Sequence[ParsedRule],
        site: Site,
        like: Verdicts | None = None,
    ) -> Verdicts:
        return Verdicts.of(circuits, outputs, rules, self.rules, site, self.dataset, like, self.brief)

    def lines(self, circuits: Sequence[Circuit], usual: bool = False) -> list[Line]:
        """The control lines that circuits name; ``usual`` values fill what is not known of them."""
        named = by_label(circuits, "line").items()
        return [self.line(label, members, usual=usual) for label, members in named]

    def _on_outputs(self, circuits: Sequence[Circuit], chosen: Mapping[str, str]) -> list[Circuit]:
        """The circuits of lines of which no circuit names its output, on the output ``chosen`` for most."""
        outputs = self.dataset.tables["outputs"]
        found = {circuit.id: circuit for circuit in circuits}
        for label, members in by_label(circuits, "line").items():
            kind = self.line(label, members).kind
            fitting = Counter(
                chosen[one.id]
                for one in members
                if one.id in chosen and kind_of_output(outputs[chosen[one.id]]) == kind
            )
            if fitting and not any(one.output_id for one in members):
                ((output, _),) = fitting.most_common(1)
                found |= {one.id: replace(one, output_id=output) for one in members}
        return list(found.values())

    def line(
        self, label: str, circuits: Sequence[Circuit], *, proposed: bool = False, usual: bool = False
    ) -> Line:
        """Some circuits as one control line, whatever line they name."""
        stated, defaults = self.setting.lines.get(label, {}), self.setting.line_defaults
        filled_by = self.usual_site.usual if usual else None
        return gather_line(label, circuits, self.dataset, stated, defaults, proposed, filled_by)

    def report_line(self, line: Line, usual: Line) -> LineReport:
        """The report on a line; ``usual`` is the same line with usual values in its gaps."""
        return report_line(line, self.rules, self.site, self.dataset, (usual, self.usual_site), self.brief)

    def _assumed(self) -> list[str]:
        """One note on what is taken of the installation where no project file says it."""
        told = "; ".join(self.setting.assumptions)
        return [f"No project file, so this is taken as so: {told}."] if told else []

    def _as_so(self, reports: Sequence[CircuitReport]) -> list[str]:
        """One note on what goes without saying of luminaires and is taken as so for what is expected."""
        usual = (one for report in reports if report.expected for one in report.expected.usual)
        told = told_as_so(
            ((one.name, one.place.key if one.place else None) for one in usual),
            usual_of(self.dataset).taken_as_so,
        )
        return [f"Taken as so where nothing else is said: {'; '.join(told)}."] if told else []

    def _unused_lines(self, used: Sequence[str]) -> list[str]:
        """Notes on lines that the project file states and no circuit is on."""
        unused = [label for label in self.setting.project.lines if label not in used]
        return [f"The project file states line {label}, and no circuit is on it." for label in unused]

    def _outputs(self, circuits: Sequence[Circuit]) -> dict[str, OutputSubject]:
        """The outputs on offer and those that circuits name."""
        named = dict.fromkeys(circuit.output_id for circuit in circuits if circuit.output_id)
        table = self.dataset.tables["outputs"]
        used = {**self.setting.offer, **{output: table[output] for output in named}}
        return {name: OutputSubject(self.dataset, output) for name, output in used.items()}

    def _site_inputs(self, subjects: Sequence[CircuitSubject]) -> list[Input]:
        """What the report says of supply, breaker, cable and source: every trait that is known."""
        if not subjects:
            return []
        names = [
            trait.full_name
            for subject in SITE_SUBJECTS
            for trait in self.dataset.vocabulary.of_subject(subject)
        ]
        return [entry for name in names for entry in subjects[0].inputs(name) if entry.basis is not None]


def _taken(lines: Sequence[Line]) -> list[str]:
    """What is taken as good of the wiring of the lines."""
    return [told for line in lines if (told := taken_as_good(line)) is not None]


def _contradictions(circuits: Sequence[Circuit], dataset: Dataset) -> list[str]:
    """Stated values that cannot all be true, with their cells and what shuts them out, each once."""
    titles = {one.relation.id: one.relation.title for one in relations_of(dataset)}
    traits = dataset.vocabulary.traits
    told = dict[str, None]()
    for member in (member for circuit in circuits for member in circuit.members):
        for conflict in member.contradictions:
            values = (
                f"{traits[name].label} {content_text(trait.content, traits[name], dataset.vocabulary)}"
                + (f" ({trait.origin.text()})" if trait.origin else "")
                for name, trait in conflict.values.items()
                if name in traits
            )
            because = " ".join(titles[key] for key in conflict.relations if key in titles)
            told[f"{member.name}: these cannot all be true: {'; '.join(values)}. {because}"] = None
    return list(told)
