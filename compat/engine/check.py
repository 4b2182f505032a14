"""The main job: a schedule in, a verdict with its number for every circuit out."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from compat import __version__
from compat.dataset.overlay import Setting
from compat.dataset.read import Dataset, Equipment
from compat.engine.circuit_report import CircuitJudge, Disagreement
from compat.engine.gather import Circuit, gather_circuits
from compat.engine.line_report import report_lines
from compat.engine.lines import Line, gather_lines, is_of_line, taken_as_good, with_line_columns
from compat.engine.pair import Pair
from compat.engine.protection import Protection, is_shared
from compat.engine.site import Site, site_of
from compat.engine.verdicts import pairing_keys
from compat.model.cautions import STANDING_CAUTION
from compat.model.report import DatasetStamp, Input, Report
from compat.model.schedule import Schedule
from compat.model.verdicts import VERDICTS
from compat.rulebook.rules import ParsedRule

__all__ = ["Check", "Disagreement", "site_of"]

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
        outputs = self._outputs(circuits)
        pairing_rules = [rule for rule in self.rules if not (is_shared(rule) or is_of_line(rule))]
        keys = pairing_keys(circuits, list(outputs.values()), site, self.dataset, pairing_rules)
        protection = Protection(self.rules, circuits, site, self.dataset)
        judge = CircuitJudge(
            self.dataset, pairing_rules, site, self.setting.offer, outputs, protection, self.brief
        )
        reports = [
            judge.report(circuit, dict(zip(outputs, keys[place], strict=True)))
            for place, circuit in enumerate(circuits)
        ]
        lines = self.lines(circuits)
        counts = Counter(report.verdict for report in reports)
        return Report(
            program_version=__version__,
            dataset=DatasetStamp(version=self.dataset.version, sha256=self.dataset.sha256),
            schedule=schedule.file,
            schedule_sha256=schedule.sha256,
            supply=self._site_inputs(circuits, site),
            counts={verdict: counts.get(verdict, 0) for verdict in VERDICTS},
            circuits=reports,
            lines=report_lines(lines, self.rules, site, self.dataset),
            notes=[*schedule.notes, *self._unused_lines([line.id for line in lines]), *_taken(lines)],
            caution=STANDING_CAUTION,
        )

    def circuits(self, schedule: Schedule) -> list[Circuit]:
        """The circuits of a schedule."""
        setting = self.setting
        site = site_of(setting)
        circuits = gather_circuits(schedule, self.dataset, setting.supply, setting.circuit_defaults, site)
        return with_line_columns(circuits, setting)

    def lines(self, circuits: Sequence[Circuit]) -> list[Line]:
        """The control lines that circuits name."""
        return gather_lines(circuits, self.dataset, self.setting)

    def _unused_lines(self, used: Sequence[str]) -> list[str]:
        """Notes on lines that the project file states and no circuit is on."""
        unused = [label for label in self.setting.project.lines if label not in used]
        return [f"The project file states line {label}, and no circuit is on it." for label in unused]

    def _outputs(self, circuits: Sequence[Circuit]) -> dict[str, Equipment]:
        """The outputs on offer and those that circuits name."""
        named = dict.fromkeys(circuit.output_id for circuit in circuits if circuit.output_id)
        table = self.dataset.tables["outputs"]
        return {**self.setting.offer, **{output: table[output] for output in named}}

    def _site_inputs(self, circuits: Sequence[Circuit], site: Site) -> list[Input]:
        """What the report says of supply, breaker, cable and source: every trait that is known."""
        if not circuits:
            return []
        pair = Pair(circuits[0], None, site, self.dataset)
        names = [
            trait.full_name
            for subject in SITE_SUBJECTS
            for trait in self.dataset.vocabulary.of_subject(subject)
        ]
        return [entry for name in names for entry in pair.inputs(name) if entry.basis is not None]


def _taken(lines: Sequence[Line]) -> list[str]:
    """What is taken as good of the wiring of the lines."""
    return [told for line in lines if (told := taken_as_good(line)) is not None]
