"""Rules about a protective device: judged for all circuits on it together.

Circuits whose rows name one label in the column ``breaker`` share a device; a circuit that names none
is judged as if it were alone on the breaker of the project.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from compat.dataset.read import Dataset
from compat.engine.findings import Judged, judged_worst_first
from compat.engine.gather import Circuit, by_label, gather_rows, label_of
from compat.engine.site import Site
from compat.engine.subject import Pairing
from compat.rulebook.rules import ParsedRule

SHARED_PREFIXES = ("breaker.", "supply.rcd_", "circuit.breaker_")


def is_shared(rule: ParsedRule) -> bool:
    """Whether a rule is about the protective device, so that all circuits on it count."""
    return rule.rule.scope == "supply" and any(name.startswith(SHARED_PREFIXES) for name in rule.names)


@dataclass(slots=True)
class Protection:
    """The findings of the shared rules, for each device once."""

    rules: Sequence[ParsedRule]
    circuits: Sequence[Circuit]
    site: Site
    dataset: Dataset
    _done: dict[str, list[Judged]] = field(default_factory=dict)

    def findings(self, circuit: Circuit) -> list[Judged]:
        """The findings that hold for a circuit because of its protective device."""
        label = label_of(circuit, "breaker")
        if label is None:
            return self._judged(circuit)
        if label not in self._done:
            members = by_label(self.circuits, "breaker")[label]
            rows = [member.row for other in members for member in other.members]
            together = gather_rows(label, rows, self.dataset, self.site, {})
            names = ", ".join(other.id for other in members)
            lead = f"All circuits on breaker {label} together ({names}): " if len(members) > 1 else ""
            self._done[label] = [_with_lead(found, lead) for found in self._judged(together)]
        return self._done[label]

    def _judged(self, circuit: Circuit) -> list[Judged]:
        pairing = Pairing.of(circuit, None, self.site, self.dataset)
        return judged_worst_first((rule for rule in self.rules if is_shared(rule)), pairing)


def _with_lead(judged: Judged, lead: str) -> Judged:
    because = lead + judged.finding.because
    return replace(judged, finding=judged.finding.model_copy(update={"because": because}))
