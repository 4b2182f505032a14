"""What to buy: the demands of a circuit said as properties of an output, and the fewest kinds that serve."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from compat.engine.sentences import rounded
from compat.engine.subject import CircuitSubject, OutputSubject
from compat.engine.verdicts import Verdicts
from compat.model.report import CircuitReport, Need, OutputKind
from compat.model.values import Interval
from compat.model.vocabulary import Vocabulary
from compat.rulebook import nodes
from compat.rulebook.clauses import Clause, Comparison
from compat.rulebook.rules import ParsedRule
from compat.rulebook.truth import YES

GOOD = ("works",)


def needs_of(circuit: CircuitSubject, output: OutputSubject, rules: Sequence[ParsedRule]) -> list[Need]:
    """What an output of the same method must state for a circuit, from the demands of the rules.

    Only demands that are not met by the circuit itself and that are known; one line for each property.
    """
    found: dict[str, Need] = {}
    for rule in rules:
        for clause in rule.clauses:
            if circuit.side(clause).holds != YES and output.side(clause).holds != YES:
                for need in _needs(rule, clause, circuit):
                    found.setdefault(need.label, need)
    return list(found.values())


def _needs(rule: ParsedRule, clause: Clause, circuit: CircuitSubject) -> Iterator[Need]:
    # Of several ways to satisfy a rule the first stands for all.
    for part, demand in zip(clause.comparisons[:1], circuit.side(clause).values, strict=False):
        text = _text(part, demand, circuit.dataset.vocabulary)
        if text:
            label = _label(part, circuit.dataset.vocabulary)
            told = f"{label}{text}" if text.startswith(":") else f"{label} {text}"
            yield Need(label=label, text=told, rule=rule.rule.id)


def _label(part: Comparison, vocabulary: Vocabulary) -> str:
    join = " or " if isinstance(part.allowance, nodes.Extreme) else " times "
    return join.join(vocabulary.traits[name].label for name in nodes.names(part.allowance))


def _text(part: Comparison, demand: object, vocabulary: Vocabulary) -> str:
    """``at least 84 W``, ``at most 12 W``, of words to be listed ``: LED lamp``; empty when not known."""
    names = nodes.names(part.allowance)
    if part.negated or not names:
        return ""
    if isinstance(demand, Interval):
        unit = ""
        if isinstance(part.demand, nodes.QuantityName):
            unit = vocabulary.unit_symbol(vocabulary.traits[part.demand.name].unit)
        end = demand.high if part.demand_is_left else demand.low
        return f"at {'least' if part.demand_is_left else 'most'} {rounded(end, unit)}"
    if part.of_sets and isinstance(demand, tuple) and part.demand_is_left:
        trait = vocabulary.traits[names[0]]
        words = [
            vocabulary.symbol(token, trait.choices)
            for place, token in enumerate(vocabulary.values_of(trait))
            if demand[0] & (1 << place)
        ]
        return f": {', '.join(words)}" if words else ""
    return ""


def kinds_of(
    reports: Sequence[CircuitReport], proven: Verdicts, expected: Verdicts, offer: Mapping[str, OutputSubject]
) -> list[OutputKind]:
    """The fewest kinds of output on offer that serve the circuits, found greedily, the most useful first.

    An output serves a circuit that works on it, or is expected to.
    """
    serves: dict[str, set[int]] = {name: set() for name in offer}
    for place in range(len(reports)):
        on, likely = proven.all_of(place), expected.all_of(place)
        for name in offer:
            if on[name] == "works" or (on[name] == "unproven" and likely[name] == "works"):
                serves[name].add(place)
    left = set().union(*serves.values()) if serves else set()
    kinds: list[OutputKind] = []
    while left:
        best = max(offer, key=lambda name: len(serves[name] & left))
        output, members = offer[best], sorted(serves[best] & left)
        left -= set(members)
        equipment = output.output
        assert equipment is not None
        kinds.append(
            OutputKind(
                output=best,
                name=equipment.name,
                method=output.text("output.method"),
                circuits=[reports[place].circuit for place in members],
                needs=_hull(need for place in members for need in reports[place].needs),
            )
        )
    return kinds


def _hull(needs: Iterable[Need]) -> list[Need]:
    """Each need once: where circuits differ, the one that serves them all is the last in order of text."""
    found: dict[str, Need] = {}
    for need in needs:
        known = found.get(need.label)
        if known is None or _figure(need) > _figure(known):
            found[need.label] = need
    return list(found.values())


def _figure(need: Need) -> float:
    words = need.text.removeprefix(need.label).split()
    try:
        figure = float(words[2])
    except (IndexError, ValueError):
        return 0.0
    return figure if words[1] == "least" else -figure
