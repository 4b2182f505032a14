"""The setting that a trial is judged in, and drivers looked up in it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from compat.dataset.overlay import Setting, read_setting
from compat.dataset.read import Dataset, Equipment
from compat.dataset.values import trait_of
from compat.engine.lookup import Looker
from compat.model.lookup import BreakerCounts
from compat.model.values import Trait
from compat.model.vocabulary import Vocabulary
from tests.published.published import LookupTrial, Surroundings

TABLES = {
    "supply": "supplies",
    "breaker": "breakers",
    "cable": "cables",
    "source_impedance": "source_impedances",
}


def setting_of(around: Surroundings, dataset: Dataset) -> Setting:
    """The setting of a project that names these entries; no outputs are on offer."""
    standing = read_setting(dataset, None, None)
    found: dict[str, Any] = {}
    for subject, table in TABLES.items():
        named = getattr(around, subject)
        entry: Equipment = dataset.tables[table][named] if named else getattr(standing, subject)
        own = traits(around.traits.get(subject, {}), subject, dataset.vocabulary)
        found[subject] = replace(entry, traits={**entry.traits, **own})
    project = standing.project.model_copy(update={"only_standard_figures": around.only_standard_figures})
    return replace(standing, offer={}, project=project, **found)


def looked_up(trial: LookupTrial, dataset: Dataset) -> BreakerCounts:
    """What the look-up of a driver says of one breaker; no output is on offer, so no rule is needed."""
    driver = Equipment("", trial.name, traits(trial.driver, "driver", dataset.vocabulary))
    looker = Looker(dataset, [], setting_of(trial.around, dataset))
    breakers = looker.look(driver, up_to=trial.up_to).breakers
    return next(counts for counts in breakers if counts.breaker == trial.breaker)


def traits(values: Mapping[str, Any], subject: str, vocabulary: Vocabulary) -> dict[str, Trait]:
    """Traits of a subject as the TOML tables write them, into the words of the model."""
    return {
        name: trait_of(value, vocabulary.traits[f"{subject}.{name}"], vocabulary, "declared", None)
        for name, value in values.items()
    }
