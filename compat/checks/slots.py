"""The slots of a rule's sentence can be filled."""

from __future__ import annotations

import re
from collections.abc import Iterator

from compat.checks.material import Material, in_rule
from compat.model.faults import Fault

NAME = "slots"
SCOPE = "rule"
SENTENCE = "the sentence of a rule has only slots that the rule can fill"
SLOT = re.compile(r"\{([^{}]*)\}")


def check(material: Material) -> Iterator[Fault]:
    """Faults for slots that name nothing the rule uses."""
    for rule in material.rules:
        allowed = {*rule.names, *(("demand", "limit") if rule.demand is not None else ())}
        for slot in SLOT.findall(rule.rule.because):
            if slot not in allowed:
                what = f"the slot {{{slot}}} is not filled by this rule"
                yield Fault(what, in_rule(rule, "because"), f"Allowed: {', '.join(sorted(allowed))}")
