"""A rule that guards people reads nothing that the defaults fill in: safety must be shown."""

from __future__ import annotations

from collections.abc import Iterator

from compat.checks.material import Material, in_rule
from compat.dataset.toml_files import read_toml
from compat.model.faults import Fault

NAME = "hazard-defaults"
SCOPE = "dataset"
SENTENCE = "no rule whose breach is a hazard reads a value that datasets/defaults.toml gives"


def check(material: Material) -> Iterator[Fault]:
    """Faults for each value with a default that a rule of breach hazard uses."""
    defaults = read_toml(material.dataset.root / "datasets" / "defaults.toml")
    given = {
        f"{subject}.{name}"
        for subject in ("circuit", "line", "driver")
        for name in defaults.get(f"{subject}_defaults", ())
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
