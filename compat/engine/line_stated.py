"""What is stated for a line as a whole: by the project file, its outputs, its circuits, or the defaults.

The project file goes first. What the outputs and the designer's wishes for the circuits say holds for
their line, so it need not be written twice. The kind of line follows from how its circuits are controlled.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from compat.dataset.read import Dataset, Equipment
from compat.engine.gather import Circuit
from compat.engine.line_derived import derive
from compat.engine.line_outputs import from_outputs, outputs_of
from compat.model.values import UNKNOWN, Interval, TokenSet, Trait
from compat.physics.cable import CLASS_1_2

KIND_OF_METHOD = {"analog_0_10v": "analog_pair", "dali": "dali_line", "dmx": "dmx_segment"}
# A want of the line, and the column of its circuits that it follows from: any circuit decides.
FROM_ANY_CIRCUIT = {
    "wanted_off_by_control": "wanted_off_by_control",
    "wanted_colour_control": "wanted_colour_control",
    "wanted_individual_control": "wanted_individual_control",
    "wired_as_selv": "control_pair_selv",
}
# A trait of the line that every circuit must have for the line to have it.
FROM_EVERY_CIRCUIT = {"separated_from_mains": "control_pair_separated"}
IEC_60228 = "S0105"


def stated_traits(
    circuits: Sequence[Circuit],
    stated: Mapping[str, Trait],
    defaults: Mapping[str, Trait],
    dataset: Dataset,
) -> dict[str, Trait]:
    """Every trait of a line that is stated for the whole, by name; UNKNOWN where nothing says it."""
    outputs = outputs_of(circuits, dataset)
    said: dict[str, Trait] = {}
    traits: dict[str, Trait] = {}
    for definition in dataset.vocabulary.of_subject("line"):
        if definition.gather == "line":
            name = definition.name
            default = defaults.get(name, UNKNOWN)
            by_project = default.content is not None and default.basis == "declared"
            trait = stated.get(name) or _from_circuits(name, circuits)
            trait = trait or (default if by_project else None) or from_outputs(name, outputs)
            traits[name] = trait or default
            if trait is not None:
                said[name] = traits[name]
    drivers = sum(member.row.quantity for circuit in circuits for member in circuit.members)
    traits.update(derive(said, defaults, drivers))
    if traits["kind"].content is None:
        traits["kind"] = kind_from_circuits(circuits, dataset)
    if traits["cable_resistance_ohm_per_km"].content is None:
        traits["cable_resistance_ohm_per_km"] = resistance_of(traits["cable_cross_section_mm2"])
    return traits


def kind_from_circuits(circuits: Sequence[Circuit], dataset: Dataset) -> Trait:
    """The one kind of line that can control every circuit, when one of them surely takes it.

    A circuit with a named output takes that output's method, any other those that its drivers accept.
    """
    possible, sure = frozenset(KIND_OF_METHOD.values()), set[str]()
    for circuit in circuits:
        methods = _methods(circuit, dataset)
        if methods is None:
            return UNKNOWN
        possible &= {KIND_OF_METHOD[method] for method in methods.possible if method in KIND_OF_METHOD}
        sure |= {KIND_OF_METHOD[method] for method in methods.sure if method in KIND_OF_METHOD}
    if len(possible) != 1 or not possible <= sure:
        return UNKNOWN
    (kind,) = possible
    return Trait(kind, "derived", "S0003", circuits[0].members[0].row.origins.get("line"))


def resistance_of(cross_section: Trait) -> Trait:
    """The resistance of one wire of a nominal cross-section, IEC 60228; UNKNOWN between its steps."""
    area = cross_section.content
    if not isinstance(area, Interval) or not {area.low, area.high} <= set(CLASS_1_2):
        return UNKNOWN
    ohm_per_km = Interval(CLASS_1_2[area.high], CLASS_1_2[area.low])
    return Trait(ohm_per_km, "standard", IEC_60228, cross_section.origin)


def kind_of_output(output: Equipment) -> str | None:
    """The kind of line that an output commands; None where it commands none."""
    return KIND_OF_METHOD.get(str(output.traits.get("method", UNKNOWN).content))


def _methods(circuit: Circuit, dataset: Dataset) -> TokenSet | None:
    if circuit.output_id is not None:
        method = dataset.tables["outputs"][circuit.output_id].traits.get("method", UNKNOWN).content
        return TokenSet.exactly(method) if isinstance(method, str) else None
    methods = circuit.values.get("circuit.methods")
    return methods if isinstance(methods, TokenSet) else None


def _from_circuits(name: str, circuits: Sequence[Circuit]) -> Trait | None:
    if name == "wanted_dim_floor_percent":
        return _common([c.column_traits[name] for c in circuits if not _only_switched(c)])
    decisive = name in FROM_ANY_CIRCUIT
    column = FROM_ANY_CIRCUIT.get(name) or FROM_EVERY_CIRCUIT.get(name)
    if column is None:
        return None
    traits = [circuit.column_traits[column] for circuit in circuits]
    return next((trait for trait in traits if trait.content is decisive), None) or _common(traits)


def _only_switched(circuit: Circuit) -> bool:
    return circuit.column_traits["wanted_control"].content == "switched"


def _common(traits: Sequence[Trait]) -> Trait | None:
    """The trait that all circuits share. Where their wishes differ each is judged by its own."""
    contents = {trait.content for trait in traits}
    return traits[0] if len(contents) == 1 and None not in contents else None
