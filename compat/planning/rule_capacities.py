"""What the rules let a control line hold, and what a circuit takes of it.

A bus rule ``demand at most limit`` gives a capacity when its demand adds up over circuits: traits that are
gathered by sum or count, with plain factors, beside what is stated for the line. No limit is written here.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from compat.dataset.read import Dataset
from compat.engine.lines import Line
from compat.engine.site import Site
from compat.model.values import UNKNOWN, Content, Interval
from compat.model.vocabulary import Vocabulary
from compat.rulebook import nodes
from compat.rulebook.evaluator import Evaluator
from compat.rulebook.nodes import QuantityNode
from compat.rulebook.rules import ParsedRule
from compat.rulebook.truth import NO

ADDED_UP = ("sum", "count")  # how a trait is gathered that grows with each circuit by what that takes alone
# A wish may change after the line is planned, so a rule that hangs on one counts whatever is wanted.
WISHES = "line.wanted_"

Terms = list[tuple[float, str]]  # factor and trait
Constants = list[tuple[float, QuantityNode]]


@dataclass(frozen=True, slots=True)
class RuleCapacity:
    """A line holds circuits whose ``terms`` add up to ``most``, 0 up, in the unit of the demand."""

    rule: str
    terms: tuple[tuple[float, str], ...]
    most: float

    def weight(self, circuit: Line) -> float:
        """What a circuit, taken as a line of its own, takes at the most; NaN where it is not known."""
        contents = [(factor, circuit.values.get(name)) for factor, name in self.terms]
        return math.fsum(
            factor * content.high if isinstance(content, Interval) else math.nan
            for factor, content in contents
        )

    def label(self, vocabulary: Vocabulary) -> str:
        """What is counted, as the reports call it."""
        return ", ".join(vocabulary.traits[name].label for _, name in self.terms)

    def unit_symbol(self, vocabulary: Vocabulary) -> str:
        """The unit of what is counted; empty for counts."""
        return vocabulary.unit_symbol(vocabulary.traits[self.terms[0][1]].unit)


def capacities(
    line: Line, rules: Iterable[ParsedRule], site: Site, dataset: Dataset
) -> dict[str, RuleCapacity]:
    """The known capacities of a line by the id of the rule, whatever circuits it gets and is wanted to do.

    Only what is stated of ``line`` as a whole counts. Recommendations (breach ``marginal``) limit nothing. A
    limit that is not known is left to the judgement of the line, which asks for it.
    """
    traits = dataset.vocabulary.traits

    def content(name: str) -> Content:
        subject, trait = name.split(".", 1)
        if subject != "line":
            return site.traits(subject).get(trait, UNKNOWN).content
        stated = traits[name].gather == "line" and not name.startswith(WISHES)
        return line.values.get(name) if stated else None

    run = Evaluator(content, dataset.vocabulary.bit_of)
    found = {}
    for rule in rules:
        if rule.rule.scope != "bus" or not rule.rule.at_most or rule.rule.breach == "marginal":
            continue
        if not isinstance(rule.test, nodes.AtMost) or run.truth(rule.applies) == NO:
            continue
        parts, limit = _parts(rule.test.left, dataset.vocabulary), rule.test.right
        if parts is None or not parts[0] or _adds_up(limit, dataset.vocabulary):
            continue
        held = run.quantity(limit)
        most = held.low - _sum_of(parts[1], run) if held else math.nan
        if not math.isnan(most):
            found[rule.rule.id] = RuleCapacity(rule.rule.id, tuple(parts[0]), max(0.0, most))
    return found


def _sum_of(constants: Constants, run: Evaluator) -> float:
    """The most that is taken before any circuit; NaN where it is not known."""
    intervals = [(factor, run.quantity(node)) for factor, node in constants]
    return math.fsum(
        math.nan if interval is None else factor * (interval.high if factor > 0 else interval.low)
        for factor, interval in intervals
    )


def _adds_up(node: QuantityNode, vocabulary: Vocabulary) -> bool:
    """Whether something in a quantity hangs on the circuits of the line."""
    gathers = [vocabulary.traits[name].gather for name in nodes.names(node)]
    return any(gather not in ("line", "") for gather in gathers)


def _parts(node: QuantityNode, vocabulary: Vocabulary, factor: float = 1.0) -> tuple[Terms, Constants] | None:
    """A quantity as a sum of traits that add up and of what is the same for all; None for any other form."""
    if not _adds_up(node, vocabulary):
        return [], [(factor, node)]
    if isinstance(node, nodes.QuantityName):
        adds = factor > 0 and vocabulary.traits[node.name].gather in ADDED_UP
        return ([(factor, node.name)], []) if adds else None
    if not isinstance(node, nodes.Arithmetic):
        return None
    left, right = node.left, node.right
    if node.operator in ("*", "/") and isinstance(right, nodes.Number) and right.value:
        return _parts(
            left, vocabulary, factor * right.value if node.operator == "*" else factor / right.value
        )
    if node.operator == "*" and isinstance(left, nodes.Number):
        return _parts(right, vocabulary, factor * left.value)
    if node.operator in ("+", "-"):
        first = _parts(left, vocabulary, factor)
        second = _parts(right, vocabulary, factor if node.operator == "+" else -factor)
        return (first[0] + second[0], first[1] + second[1]) if first and second else None
    return None


def room_for(name: str, found: Iterable[RuleCapacity]) -> float:
    """The least that the capacities which count one trait alone leave for it; infinite where none does."""
    alone = [one for one in found if [trait for _, trait in one.terms] == [name]]
    return min((one.most / one.terms[0][0] for one in alone), default=math.inf)
