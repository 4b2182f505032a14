"""What to settle first: the open findings that usual values leave open, or let hold only just."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from compat.engine.findings import Judged
from compat.engine.gather import Circuit, Member, gather_rows
from compat.engine.protection import is_shared
from compat.engine.subject import CircuitSubject, OutputSubject, Pairing, is_open
from compat.engine.verdicts import Verdicts
from compat.model.values import Trait
from compat.model.verdicts import RANK
from compat.rulebook import nodes
from compat.rulebook.evaluator import Evaluator
from compat.rulebook.nodes import TruthNode
from compat.rulebook.truth import NO, YES

# With usual values a limit holds with room to spare where half as much again would still hold.
ROOM = 1.5
# Who names a dimming method wants it dimmed, and what is only switched is not.
WISH = "circuit.wanted_control"
WISH_TEXT = "what names a dimming method is to be dimmed"


@dataclass(frozen=True, slots=True)
class FirstThings:
    """Parts what is to be settled first from what can wait; ``expected`` is the footing of usual values."""

    expected: Verdicts
    defaults: Mapping[str, Trait]
    _as_so: dict[int, tuple[Circuit, CircuitSubject]] = field(default_factory=dict)
    _rows: dict[object, Member] = field(default_factory=dict)

    def settled(
        self, place: int, output: OutputSubject, judged: Sequence[Judged]
    ) -> tuple[list[Judged], frozenset[str]]:
        """The findings of a circuit with those marked that come first, and of the traits that they leave
        open those that go without saying.

        A finding waits that holds by what goes without saying, or by usual figures with room to spare.
        """
        likely = Pairing(self.expected.subjects[place], output)
        sure = Pairing(self._with_what_is_so(place), output)
        names = dict.fromkeys(name for found in judged for name in found.open_names)
        as_so = frozenset(name for name in names if not is_open(sure.content(name)))
        return [
            replace(found, finding=replace(found.finding, decisive=True))
            if found.finding.verdict == "unproven" and self._comes_first(found, sure, likely)
            else found
            for found in judged
        ], as_so

    def _with_what_is_so(self, place: int) -> CircuitSubject:
        """The circuit with nothing more in its gaps than what goes without saying."""
        circuit = self.expected.circuits[place]
        known = self._as_so.get(id(circuit.values))
        if known is None:
            protection = self.expected.protection
            usual = protection.site.usual
            site = replace(protection.site, usual=usual.as_so if usual else None)
            rows = [member.row for member in circuit.members]
            # No cell is told of it, so rows that state the same are made once.
            made = gather_rows(circuit.id, rows, protection.dataset, site, self.defaults, self._rows)
            # The circuit is kept beside it so that its identity cannot pass to another.
            known = self._as_so[id(circuit.values)] = (
                circuit,
                CircuitSubject(protection.dataset, made, site),
            )
        return known[1]

    def _comes_first(self, found: Judged, sure: Pairing, likely: Pairing) -> bool:
        if sure.code(found.rule) == YES:
            return False
        if is_shared(found.rule):
            circuit = likely.circuit.circuit
            assert isinstance(circuit, Circuit)
            likely = self.expected.protection.pairing_of(found.rule, circuit)
        if likely.code(found.rule) != YES:
            return True
        if RANK[found.rule.rule.breach] < RANK["fails"]:
            return False
        bit_of = likely.dataset.vocabulary.bit_of
        return not _has_room(
            found.rule.condition, True, Evaluator(sure.content, bit_of), Evaluator(likely.content, bit_of)
        )


def _has_room(node: TruthNode, wanted: bool, sure: Evaluator, usual: Evaluator) -> bool:
    """Whether a condition is as ``wanted`` by what is sure, or by usual figures with room to spare."""
    if sure.truth(node) == (YES if wanted else NO):
        return True
    if isinstance(node, nodes.Not):
        return _has_room(node.part, not wanted, sure, usual)
    if isinstance(node, nodes.Both | nodes.Either):
        parts = (_has_room(part, wanted, sure, usual) for part in (node.left, node.right))
        return all(parts) if isinstance(node, nodes.Both) == wanted else any(parts)
    if not isinstance(node, nodes.AtMost):
        return False
    less, more = usual.quantity(node.left), usual.quantity(node.right)
    if less is None or more is None:
        return False
    return less.high * ROOM <= more.low if wanted else less.low >= more.high * ROOM


def told_as_so(usual: Iterable[tuple[str, str | None]], taken: Mapping[str, str]) -> list[str]:
    """What a report tells once of usual values, given by name and place, that go without saying."""
    found = dict[str, None]()
    for name, key in usual:
        text = WISH_TEXT if name == WISH else taken.get(key.split()[0], "") if key else ""
        found.update({text: None} if text else {})
    return sorted(found)
