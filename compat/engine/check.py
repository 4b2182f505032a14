"""The main job: a schedule in, a verdict with its number for every circuit out."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from compat import __version__
from compat.dataset.overlay import Setting
from compat.dataset.read import Dataset
from compat.engine.circuit_report import CircuitJudge
from compat.engine.gather import Circuit, gather_circuits
from compat.engine.join import keys_of
from compat.engine.line_report import report_lines
from compat.engine.lines import Line, gather_lines, is_of_line
from compat.engine.protection import Protection, is_shared
from compat.engine.ranking import LoadLimits
from compat.engine.site import site_of
from compat.engine.subject import CircuitSubject, OutputSubject
from compat.model.cautions import STANDING_CAUTION
from compat.model.report import DatasetStamp, Input, Report
from compat.model.schedule import Schedule
from compat.model.verdicts import VERDICTS
from compat.rulebook.rules import ParsedRule

SITE_SUBJECTS = ("supply", "breaker", "cable", "source_impedance")


@dataclass(frozen=True, slots=True)
class Check:
    """What a check of a schedule needs; ``report`` gives the answer, ``brief`` for a listing only."""

    dataset: Dataset
    rules: Sequence[ParsedRule]
    setting: Setting
    brief: bool = False

    def report(self, schedule: Schedule) -> Report:
        """Judge every circuit of a schedule, and every line that circuits share."""
        site = site_of(self.setting)
        circuits = self.circuits(schedule)
        subjects = [CircuitSubject(self.dataset, circuit, site) for circuit in circuits]
        outputs = self._outputs(circuits)
        pairing_rules = [rule for rule in self.rules if not (is_shared(rule) or is_of_line(rule))]
        keys = keys_of(subjects, list(outputs.values()), pairing_rules)
        protection = Protection(self.rules, circuits, site, self.dataset)
        judge = CircuitJudge(
            self.dataset,
            pairing_rules,
            {output: outputs[output] for output in self.setting.offer},
            outputs,
            protection,
            LoadLimits(pairing_rules),
            self.brief,
        )
        reports = [
            judge.report(subject, dict(zip(outputs, keys[place], strict=True)))
            for place, subject in enumerate(subjects)
        ]
        lines = self.lines(circuits)
        counts = Counter(report.verdict for report in reports)
        return Report(
            program_version=__version__,
            dataset=DatasetStamp(version=self.dataset.version, sha256=self.dataset.sha256),
            schedule=schedule.file,
            schedule_sha256=schedule.sha256,
            supply=self._site_inputs(subjects),
            counts={verdict: counts.get(verdict, 0) for verdict in VERDICTS},
            circuits=reports,
            lines=report_lines(lines, self.rules, site, self.dataset),
            notes=[*schedule.notes, *self._unused_lines([line.id for line in lines])],
            caution=STANDING_CAUTION,
        )

    def circuits(self, schedule: Schedule) -> list[Circuit]:
        """The circuits of a schedule."""
        setting = self.setting
        site = site_of(setting)
        return gather_circuits(schedule, self.dataset, setting.supply, setting.circuit_defaults, site)

    def lines(self, circuits: Sequence[Circuit]) -> list[Line]:
        """The control lines that circuits name."""
        return gather_lines(circuits, self.dataset, self.setting)

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
