"""The questions of all circuits in one place, by the luminaire type or output they are about."""

from __future__ import annotations

from dataclasses import dataclass, field

from compat.model.report import CircuitReport, Question, Report
from compat.model.verdicts import Verdict, worst
from compat.report.words import ranked


@dataclass(slots=True)
class Asked:
    """One question, once, with every circuit and rule that waits for its answer."""

    first: Question
    circuits: list[CircuitReport] = field(default_factory=list)
    rules: list[str] = field(default_factory=list)
    could_become: Verdict = "works"


def questions_by_subject(report: Report) -> dict[str, list[Asked]]:
    """Luminaire type or output -> its questions; those of the worst circuits first."""
    groups: dict[str, dict[tuple[str, str], Asked]] = {}
    for circuit in ranked(report.circuits):
        for question in circuit.questions:
            for subject in question.about or [circuit.circuit]:
                group = groups.setdefault(subject, {})
                asked = group.setdefault((question.name, question.ask), Asked(question))
                if circuit not in asked.circuits:
                    asked.circuits.append(circuit)
                asked.rules.extend(rule for rule in question.rules if rule not in asked.rules)
                asked.could_become = worst((asked.could_become, question.could_become))
    return {subject: list(group.values()) for subject, group in groups.items()}
