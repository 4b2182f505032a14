"""The user's own equipment and project, laid over the dataset."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from compat.dataset.published import check_by_schema
from compat.dataset.read import Dataset, Equipment, read_table
from compat.dataset.toml_files import line_of, read_text, read_toml, validated
from compat.dataset.values import ValueFault, trait_of
from compat.model.faults import BadInput, Fault, did_you_mean
from compat.model.project import UNSTATED_WISHES, Project
from compat.model.values import Origin, Trait


@dataclass(frozen=True, slots=True)
class Setting:
    """What a check works with: the supply, the outputs on offer in order, and column defaults."""

    project: Project
    supply: Equipment
    offer: dict[str, Equipment]
    circuit_defaults: dict[str, Trait]


def with_own_equipment(dataset: Dataset, table: str, path: Path | None) -> Dataset:
    """The dataset with the entries of the user's file added or put in place of those with their id.

    The file is checked by the published schema. Raises BadInput.
    """
    if path is None:
        return dataset
    own = read_table(path, table, dataset.vocabulary)
    check_by_schema(path, read_toml(path), table, dataset.root)
    return replace(dataset, tables={**dataset.tables, table: {**dataset.tables[table], **own}})


def read_setting(dataset: Dataset, path: Path | None, own_outputs: Path | None) -> Setting:
    """The setting of a project file, or the defaults without one.

    Without a list of outputs on offer: the user's own outputs if a file of them is given, else
    every output of the dataset. Raises BadInput.
    """
    project, name, text = Project.model_validate({}), "project", ""
    if path is not None:
        data, name, text = read_toml(path), path.name, read_text(path)
        project = validated(Project, data, path)
        check_by_schema(path, data, "project", dataset.root)
    faults: list[Fault] = []
    named = {"supplies": [project.supply], "outputs": project.offer.outputs or []}
    named |= {
        "breakers": [project.breaker] if project.breaker else [],
        "cables": [project.cable] if project.cable else [],
        "source_impedances": [project.source_impedance] if project.source_impedance else [],
    }
    for table, ids in named.items():
        for entry in ids:
            if entry not in dataset.tables[table]:
                where = Origin(name, line=line_of(text, entry))
                what = f"'{entry}' is not in the table of {table.replace('_', ' ')}"
                faults.append(Fault(what, where, do=did_you_mean(entry, dataset.tables[table])))
    overrides = _traits(project.supply_traits, "supply", dataset, name, text, faults)
    defaults = _traits(
        {**UNSTATED_WISHES, **project.circuit_defaults}, "circuit", dataset, name, text, faults
    )
    if faults:
        raise BadInput(faults)
    supply = dataset.tables["supplies"][project.supply]
    if project.offer.outputs is not None:
        ids = project.offer.outputs
    elif own_outputs is not None:
        ids = list(read_table(own_outputs, "outputs", dataset.vocabulary))
    else:
        ids = list(dataset.tables["outputs"])
    offer = {output: dataset.tables["outputs"][output] for output in ids}
    return Setting(project, replace(supply, traits={**supply.traits, **overrides}), offer, defaults)


def _traits(
    values: Mapping[str, object], subject: str, dataset: Dataset, name: str, text: str, faults: list[Fault]
) -> dict[str, Trait]:
    traits: dict[str, Trait] = {}
    allowed = [
        t.name for t in dataset.vocabulary.of_subject(subject) if subject != "circuit" or t.gather == "column"
    ]
    for trait_name, value in values.items():
        where = Origin(name, line=line_of(text, trait_name), key=trait_name)
        if trait_name not in allowed:
            faults.append(
                Fault(f"'{trait_name}' cannot be set here", where, do=did_you_mean(trait_name, allowed))
            )
            continue
        definition = dataset.vocabulary.traits[f"{subject}.{trait_name}"]
        try:
            trait = trait_of(value, definition, dataset.vocabulary, "declared", None)
        except ValueFault as error:
            faults.append(Fault(f"{trait_name}: {error}", where))
            continue
        traits[trait_name] = replace(trait, origin=where)
    return traits


def project_beside(schedule: Path) -> Path | None:
    """The project file that lies beside a schedule under the same name, if there is one."""
    beside = schedule.with_suffix(".toml")
    return beside if schedule.suffix.lower() != ".toml" and beside.is_file() else None
