"""Every value a rule needs has the question by which one gets it."""

from __future__ import annotations

from collections.abc import Iterator

from compat.checks.material import Material, in_rule
from compat.model.faults import Fault

NAME = "ask-for"
SCOPE = "rule"
SENTENCE = "every value that can be unknown has its question"
ALWAYS_KNOWN = frozenset(
    {
        "output.method",
        "circuit.driver_count",
        "circuit.driver_types",
        "line.kind",
        "line.driver_count",
        "line.driver_types",
    }
)


def check(material: Material) -> Iterator[Fault]:
    """Faults for names without a question, and for questions about names not used."""
    for rule in material.live_rules():
        asked = set(rule.rule.ask_for)
        for name in rule.names:
            if name not in asked and name not in ALWAYS_KNOWN:
                yield Fault(f"ask_for has no question for {name}", in_rule(rule, "ask_for"), do="Add it")
        for name in sorted(asked - set(rule.names)):
            yield Fault(
                f"ask_for has {name}, which the rule does not use", in_rule(rule, "ask_for"), do="Remove it"
            )
