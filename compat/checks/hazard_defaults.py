"""A rule that guards people reads nothing that the defaults fill in: safety must be shown."""

from __future__ import annotations

from collections.abc import Iterator

from compat.checks.material import Material, in_rule
from compat.dataset.overlay import read_standing
from compat.model.faults import BadInput, Fault

NAME = "hazard-defaults"
SCOPE = "dataset"
SENTENCE = "no rule whose breach is a hazard reads a value that datasets/defaults.toml gives"


def check(material: Material) -> Iterator[Fault]:
    """Faults for each value with a default that a rule of breach hazard uses."""
    try:
        standing = read_standing(material.dataset)
    except BadInput as error:
        yield from error.faults
        return
    given = {
        f"{subject}.{name}"
        for subject, defaults in (
            ("circuit", standing.circuit_defaults),
            ("line", standing.line_defaults),
            ("driver", standing.driver_defaults),
        )
        for name in defaults
    }
    traits = material.dataset.vocabulary.traits
    for rule in material.live_rules():
        if rule.rule.breach != "hazard":
            continue
        for name in rule.names:
            if name in given or traits[name].gathered_from in given:
                what = f"the breach is a hazard and {name} has a default"
                do = "Ask for it: take it out of datasets/defaults.toml, or read another value"
                yield Fault(what, in_rule(rule, "breach"), do=do)
