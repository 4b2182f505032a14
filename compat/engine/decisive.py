"""What to settle first: the open findings that usual values leave open, or let hold only just."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from compat.engine.findings import Judged
from compat.engine.protection import Protection, is_shared
from compat.engine.subject import Pairing
from compat.model.values import Content
from compat.model.verdicts import RANK
from compat.rulebook import nodes
from compat.rulebook.evaluator import Evaluator
from compat.rulebook.nodes import TruthNode
from compat.rulebook.truth import NO, YES

# With usual values a limit holds with room to spare where half as much again would still hold.
ROOM = 1.5
# Who names a dimming method wants it dimmed, and what is only switched is not.
WISH = "circuit.wanted_control"
WISH_TEXT = "what has a dimming method named may be dimmed and is to be"


@dataclass(frozen=True, slots=True)
class Footings:
    """A circuit on its output as it is ``known``, and as it ``likely`` is with usual values.

    ``protection`` judges protective devices with usual values; ``taken`` are the classes of usual values,
    by id, that go without saying.
    """

    known: Pairing
    likely: Pairing
    protection: Protection
    taken: Mapping[str, str]

    def settled(self, judged: Sequence[Judged]) -> tuple[list[Judged], frozenset[str]]:
        """The findings with those marked that come first, and the traits that go without saying.

        A finding waits that holds on what goes without saying, or with room to spare.
        """
        names = dict.fromkeys(name for found in judged for name in found.open_names)
        as_so = frozenset(name for name in names if self._goes_without_saying(name))
        return [self._marked(found, as_so) for found in judged], as_so

    def _marked(self, found: Judged, as_so: frozenset[str]) -> Judged:
        if found.finding.verdict != "unproven" or not self._comes_first(found, as_so):
            return found
        return replace(found, finding=replace(found.finding, decisive=True))

    def _comes_first(self, found: Judged, as_so: frozenset[str]) -> bool:
        likely, circuit = self.likely, self.likely.circuit.circuit
        if is_shared(found.rule):
            likely = self.protection.pairing_of(found.rule, circuit)  # type: ignore[arg-type]
        if likely.code(found.rule) != YES:
            return True
        if RANK[found.rule.rule.breach] < RANK["fails"]:
            return False

        def content(name: str) -> Content:
            return (likely if name in as_so else self.known).content(name)

        bit_of = likely.dataset.vocabulary.bit_of
        sure, usual = Evaluator(content, bit_of), Evaluator(likely.content, bit_of)
        return not _has_room(found.rule.condition, True, sure, usual)

    def _goes_without_saying(self, name: str) -> bool:
        usual = [one for one in self.likely.inputs(name) if one.basis == "usual"]
        keys = (one.place.key if one.place else None for one in usual)
        return bool(usual) and (name == WISH or all(key and key.split()[0] in self.taken for key in keys))


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
