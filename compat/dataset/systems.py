"""Kinds of system: read from ``datasets/systems/`` or the user's own file, and found by id or slug."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from compat.dataset.read import Dataset
from compat.dataset.toml_files import Document, read_document, validated
from compat.dataset.values import ValueFault, trait_of
from compat.model.faults import BadInput, Fault, did_you_mean
from compat.model.system import SystemFile
from compat.model.values import Origin, Trait


@dataclass(frozen=True, slots=True)
class SystemKind:
    """A kind with its traits in the words of the model."""

    file: SystemFile
    traits: Mapping[str, Trait]


def system_files(root: Path) -> list[Path]:
    """The files of the kinds of system, in the order in which they are read."""
    return sorted((root / "datasets" / "systems").glob("*.toml"))


def read_systems(dataset: Dataset) -> list[SystemKind]:
    """The kinds that the dataset has; none in an edition from before there were any. Raises BadInput."""
    return [read_system(path, dataset) for path in system_files(dataset.root)]


def read_system(path: Path, dataset: Dataset) -> SystemKind:
    """One kind of system; raises BadInput with every fault."""
    document = read_document(path)
    file = validated(SystemFile, document.data, document)
    faults = list(_unknown_outputs(file, dataset, document))
    traits: dict[str, Trait] = {}
    for name, value in file.traits.items():
        definition = dataset.vocabulary.traits.get(f"system.{name}")
        if definition is None:
            known = [trait.name for trait in dataset.vocabulary.of_subject("system")]
            what = f"{file.id}: '{name}' is no trait of a system"
            faults.append(Fault(what, document.where("traits", name), do=did_you_mean(name, known)))
            continue
        try:
            traits[name] = trait_of(value, definition, dataset.vocabulary, file.basis, file.source)
        except ValueFault as error:
            faults.append(Fault(f"{file.id} {name}: {error}", document.where("traits", name)))
    if faults:
        raise BadInput(faults)
    return SystemKind(file, traits)


def chosen_systems(dataset: Dataset, wanted: str | None) -> list[SystemKind]:
    """The kinds to plan with: all, or the one of an id, a slug or a file. Raises BadInput."""
    if wanted is not None and Path(wanted).suffix.lower() in (".toml", ".json"):
        from compat.dataset.schema_check import check_by_schema

        check_by_schema(read_document(Path(wanted)), "system", dataset.root)
        return [read_system(Path(wanted), dataset)]
    kinds = read_systems(dataset)
    if not kinds:
        do = "Take a later edition, or name a file of your own with --system"
        raise BadInput([Fault("the dataset has no kinds of system", Origin(str(dataset.root)), do=do)])
    if wanted is None:
        return kinds
    asked = wanted.strip().casefold()
    found = [kind for kind in kinds if asked in (kind.file.id.casefold(), kind.file.slug)]
    if not found:
        names = [kind.file.slug for kind in kinds]
        do = did_you_mean(asked, names) or f"There are: {', '.join(names)}"
        raise BadInput([Fault(f"there is no kind of system '{wanted}'", Origin("--system"), do=do)])
    return found


def _unknown_outputs(file: SystemFile, dataset: Dataset, document: Document) -> list[Fault]:
    return [
        Fault(
            f"'{output}' is not in the table of outputs",
            document.where("modules", place, "outputs"),
            do=did_you_mean(output, dataset.tables["outputs"]),
        )
        for place, module in enumerate(file.modules)
        for output in module.outputs
        if output not in dataset.tables["outputs"]
    ]
