"""No rule whose breach is a hazard reads a value that a default fills in: safety must be shown."""

from __future__ import annotations

from collections.abc import Iterator

from compat.checks.material import Material, in_rule
from compat.dataset.toml_files import read_toml
from compat.model.faults import Fault

NAME = "hazard-defaults"
SCOPE = "rule"
SENTENCE = "a rule whose breach is a hazard reads no value that a default fills in"
FILLED = {"circuit_defaults": "circuit", "line_defaults": "line", "driver_defaults": "driver"}


def check(material: Material) -> Iterator[Fault]:
    """Faults for hazard rules that read a trait of the dataset's ``defaults.toml``."""
    data = read_toml(material.dataset.root / "datasets" / "defaults.toml")
    filled = {f"{subject}.{name}" for table, subject in FILLED.items() for name in data.get(table, {})}
    gathered = {
        trait.full_name
        for trait in material.dataset.vocabulary.traits.values()
        if trait.gathered_from in filled
    }
    for rule in material.live_rules():
        if rule.rule.breach != "hazard":
            continue
        for name in rule.names:
            if name in filled or name in gathered:
                what = f"the breach is a hazard, and defaults.toml fills in {name}"
                yield Fault(what, in_rule(rule, "breach"), do="Take the default away, or read another trait")
