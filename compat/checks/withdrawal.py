"""Withdrawn rules say why and by what they are followed."""

from __future__ import annotations

from collections.abc import Iterator

from compat.checks.material import Material, in_rule
from compat.model.faults import Fault

NAME = "withdrawal"
SCOPE = "rule"
SENTENCE = "a withdrawn rule says why; what follows it is live"


def check(material: Material) -> Iterator[Fault]:
    """Faults of the life cycle of rules."""
    live = {rule.rule.id for rule in material.live_rules()}
    for rule in material.rules:
        data = rule.rule
        if data.status == "withdrawn" and not data.withdrawn_because:
            yield Fault("a withdrawn rule says why", in_rule(rule, "status"), do="Add withdrawn_because")
        if data.status != "withdrawn" and data.withdrawn_because:
            yield Fault(
                "a live rule has withdrawn_because", in_rule(rule, "withdrawn_because"), do="Remove it"
            )
        for follower in data.superseded_by:
            if follower not in live:
                yield Fault(
                    f"superseded_by names {follower}, which is no live rule", in_rule(rule, "superseded_by")
                )
