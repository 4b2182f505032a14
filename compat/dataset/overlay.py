"""The user's own equipment and project, laid over the dataset."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import partial
from pathlib import Path

from compat.dataset.read import Dataset, Equipment, read_table, table_of
from compat.dataset.toml_files import Document, read_document, read_text, validated
from compat.dataset.values import ValueFault, trait_of
from compat.model.faults import BadInput, Fault, did_you_mean
from compat.model.project import FromTransformer, Project
from compat.model.values import Basis, Interval, Origin, Trait
from compat.model.vocabulary import Vocabulary


@dataclass(frozen=True, slots=True)
class Setting:
    """What a check works with: the equipment around the circuits, the outputs on offer in order, and
    what holds for schedule columns left empty; the traits stated for each line, and for all of them.
    ``further_supplies`` are those that circuits of other rated voltages are on.
    ``assumptions`` tell what is taken of the installation because no project file says it.
    """

    project: Project
    supply: Equipment
    breaker: Equipment
    cable: Equipment
    source_impedance: Equipment
    inrush_test_source: Equipment
    offer: dict[str, Equipment]
    circuit_defaults: dict[str, Trait]
    lines: dict[str, dict[str, Trait]] = field(default_factory=dict)
    line_defaults: dict[str, Trait] = field(default_factory=dict)
    driver_defaults: dict[str, Trait] = field(default_factory=dict)
    assumptions: tuple[str, ...] = ()
    further_supplies: tuple[Equipment, ...] = ()


# Before the name of a trait of lines in the list of what an installation usually is.
LINE = "line."


def with_own_equipment(dataset: Dataset, table: str, path: Path | None) -> Dataset:
    """The dataset with the entries of the user's file added or put in place of those with their id.

    The file is checked by the published schema. Raises BadInput.
    """
    if path is None:
        return dataset
    from compat.dataset.schema_check import check_by_schema

    document = read_document(path)
    own = table_of(document, table, dataset.vocabulary)
    check_by_schema(document, table, dataset.root)
    return replace(dataset, tables={**dataset.tables, table: {**dataset.tables[table], **own}})


def read_defaults(dataset: Dataset) -> ParsedProject:
    """What holds where no project file says otherwise: the dataset's defaults. Raises BadInput."""
    return _read_project(dataset, dataset.root / "datasets" / "defaults.toml", "common_practice")


def read_setting(
    dataset: Dataset,
    path: Path | None,
    own_outputs: Path | Collection[str] | None,
    defaults: ParsedProject | None = None,
) -> Setting:
    """The setting of a project file over the dataset's defaults, ``defaults`` where they are read already.

    Without a list of outputs on offer: the user's own outputs if a file of them or their ids are given,
    else every output of the dataset. Raises BadInput.
    """
    defaults = defaults or read_defaults(dataset)
    nothing = ParsedProject(Project(), {}, {}, {}, {}, {}, {})
    own = _read_project(dataset, path, "declared") if path is not None else nothing
    project = own.project

    def chosen(subject: str, table: str) -> Equipment:
        wanted = getattr(project, subject) or getattr(defaults.project, subject)
        entry = dataset.tables[table][wanted]
        overrides = {**defaults.overrides.get(subject, {}), **own.overrides.get(subject, {})}
        if subject == "supply" and project.jurisdiction != "none":
            origin = Origin(path.name if path else "", key="jurisdiction")
            asked = Trait(project.jurisdiction.replace("-", "_"), "declared", None, origin)
            overrides = {"jurisdiction": asked, **overrides}
        return replace(entry, traits={**entry.traits, **overrides})

    supply, source_impedance = chosen("supply", "supplies"), chosen("source_impedance", "source_impedances")
    if project.source is not None and path is not None:
        from compat.dataset.supply_source import impedance_traits

        feeder = project.source.cable if isinstance(project.source, FromTransformer) else None
        cable = dataset.tables["cables"][feeder] if feeder else chosen("cable", "cables")
        computed = impedance_traits(
            project.source, supply.traits, cable.traits, Origin(path.name, key="source")
        )
        source_impedance = replace(source_impedance, name="computed from the project", traits=computed)
    if project.offer.outputs is not None:
        ids = project.offer.outputs
    elif isinstance(own_outputs, Path):
        ids = list(read_table(own_outputs, "outputs", dataset.vocabulary))
    elif own_outputs is not None:
        ids = list(own_outputs)
    else:
        ids = list(dataset.tables["outputs"])
    takes_usual = path is None or project.usual_installation
    usual = defaults.usual_installation if takes_usual else {}
    of_lines = {n.removeprefix(LINE): trait for n, trait in usual.items() if n.startswith(LINE)}
    return Setting(
        project=project,
        supply=supply,
        breaker=chosen("breaker", "breakers"),
        cable=chosen("cable", "cables"),
        source_impedance=source_impedance,
        inrush_test_source=chosen("inrush_test_source", "source_impedances"),
        offer={output: dataset.tables["outputs"][output] for output in ids},
        circuit_defaults={
            **defaults.circuit_defaults,
            **{name: trait for name, trait in usual.items() if not name.startswith(LINE)},
            **own.circuit_defaults,
        },
        assumptions=tuple(
            state.text for state in defaults.project.usual_installation_is if state.text and takes_usual
        ),
        lines={**defaults.lines, **own.lines},
        line_defaults={**defaults.line_defaults, **of_lines, **own.line_defaults},
        driver_defaults={**defaults.driver_defaults, **own.driver_defaults},
    )


@dataclass(frozen=True, slots=True)
class ParsedProject:
    """A project file with its traits in the words of the model."""

    project: Project
    overrides: dict[str, dict[str, Trait]]
    circuit_defaults: dict[str, Trait]
    lines: dict[str, dict[str, Trait]]
    line_defaults: dict[str, Trait]
    driver_defaults: dict[str, Trait]
    usual_installation: dict[str, Trait]


def _read_project(dataset: Dataset, path: Path, basis: Basis) -> ParsedProject:
    document = read_document(path)
    project = validated(Project, document.data, document)
    if basis == "declared":
        from compat.dataset.schema_check import check_by_schema

        # The dataset's own defaults are held to the schema by the dataset check.
        check_by_schema(document, "project", dataset.root)
    faults: list[Fault] = []
    for steps, table, entry in _named(project):
        if entry not in dataset.tables[table]:
            what = f"'{entry}' is not in the table of {table.replace('_', ' ')}"
            faults.append(Fault(what, document.where(*steps), do=did_you_mean(entry, dataset.tables[table])))
    read = partial(_traits, vocabulary=dataset.vocabulary, document=document, basis=basis, faults=faults)
    overrides = {
        subject: read(getattr(project, f"{subject}_traits"), subject, (f"{subject}_traits",))
        for subject in ("supply", "breaker", "cable", "source_impedance")
    }
    defaults = read(project.circuit_defaults, "circuit", ("circuit_defaults",))
    lines = {label: read(traits, "line", ("lines", label)) for label, traits in project.lines.items()}
    line_defaults = read(project.line_defaults, "line", ("line_defaults",))
    drivers = read(project.driver_defaults, "driver", ("driver_defaults",))
    stated = {state.trait: state.value for state in project.usual_installation_is}
    of_lines = {name: stated.pop(name) for name in list(stated) if name.startswith(LINE)}
    usual = read(stated, "circuit", ("usual_installation_is",))
    on_lines = read(
        {name.removeprefix(LINE): value for name, value in of_lines.items()},
        "line",
        ("usual_installation_is",),
    )
    usual |= {f"{LINE}{name}": trait for name, trait in on_lines.items()}
    usual = {name: replace(trait, basis="usual") for name, trait in usual.items()}
    if project.cable_length_m is not None:
        length = Interval(project.cable_length_m, project.cable_length_m)
        defaults.setdefault(
            "cable_length_m", Trait(length, basis, origin=Origin(path.name, key="cable_length_m"))
        )
    if faults:
        raise BadInput(faults)
    return ParsedProject(project, overrides, defaults, lines, line_defaults, drivers, usual)


def _named(project: Project) -> Iterator[tuple[tuple[str | int, ...], str, str]]:
    """The entries that a project names: where in the file, in which table, and which."""
    for key, table in (
        ("supply", "supplies"),
        ("breaker", "breakers"),
        ("cable", "cables"),
        ("source_impedance", "source_impedances"),
        ("inrush_test_source", "source_impedances"),
    ):
        if getattr(project, key):
            yield (key,), table, getattr(project, key)
    if isinstance(project.source, FromTransformer) and project.source.cable:
        yield ("source", "cable"), "cables", project.source.cable
    for place, output in enumerate(project.offer.outputs or ()):
        yield ("offer", "outputs", place), "outputs", output


# How a subject must gather a trait for a project file to state it; any way for the others.
MOST_LISTED = 12
STATED_BY_FILE = {"circuit": "column", "line": "line"}


def _traits(
    values: Mapping[str, object],
    subject: str,
    table: tuple[str, ...],
    vocabulary: Vocabulary,
    document: Document,
    basis: Basis,
    faults: list[Fault],
) -> dict[str, Trait]:
    """The traits of one table of the file, such as ``("lines", "L1")``; what misfits is a fault."""
    traits: dict[str, Trait] = {}
    wanted = STATED_BY_FILE.get(subject)
    allowed = [t.name for t in vocabulary.of_subject(subject) if wanted in (None, t.gather)]
    for trait_name, value in values.items():
        where = document.where(*table, trait_name, key=".".join((*table, trait_name)))
        if trait_name not in allowed:
            listed = f"Allowed: {', '.join(allowed)}" if len(allowed) <= MOST_LISTED else ""
            what = f"'{trait_name}' cannot be set here"
            faults.append(Fault(what, where, listed, did_you_mean(trait_name, allowed)))
            continue
        definition = vocabulary.traits[f"{subject}.{trait_name}"]
        try:
            trait = trait_of(value, definition, vocabulary, basis, None)
        except ValueFault as error:
            faults.append(Fault(f"{trait_name}: {error}", where))
            continue
        traits[trait_name] = replace(trait, origin=where)
    return traits


def project_beside(schedule: Path) -> Path | None:
    """The project file that lies beside a schedule under the same name, if there is one.

    A file that says it is something else, such as a table of drivers, is none.
    """
    beside = schedule.with_suffix(".toml")
    if schedule.suffix.lower() == ".toml" or not beside.is_file():
        return None
    stated = re.search(r"""^schema\s*=\s*["']([a-z_]+)/""", read_text(beside), re.MULTILINE)
    return beside if stated is None or stated[1] == "project" else None
