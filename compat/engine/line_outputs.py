"""What the outputs that the circuits of a line name say of it, and where they contradict each other."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from compat.dataset.read import Dataset, Equipment
from compat.engine.gather import Circuit
from compat.model.values import UNKNOWN, Content, Interval, TokenSet, Trait

# A trait of a line, and the trait of its output that says it.
FROM_OUTPUT = {
    "output_direction": "control_current_direction",
    "control_current_max_ma": "control_current_max_ma",
    "output_full_v": "control_full_output_v",
    "output_lowest_v": "control_lowest_v",
    "switches_mains": "switches_mains",
    "output_insulation": "control_insulation",
    "dali_addressing": "dali_addressing",
    "dali_device_types_commanded": "dali_device_types",
    "dali_colour_types_commanded": "dali_colour_types",
    "colours_commanded": "colours",
    "dali_supply_guaranteed_ma": "dali_supply_current_ma",
}
# The most that the bus supply of a line gives: IEC 62386-101, read in the guidelines of the association.
DALI_SUPPLY_MOST_MA = 250.0
DALI_AG_ELECTRICAL = "S0023"


def outputs_of(circuits: Sequence[Circuit], dataset: Dataset) -> list[Equipment]:
    """The different outputs that the circuits name, in the order of the schedule."""
    named = dict.fromkeys(circuit.output_id for circuit in circuits if circuit.output_id is not None)
    return [dataset.tables["outputs"][output] for output in named]


def from_outputs(name: str, outputs: Sequence[Equipment]) -> Trait | None:
    """A trait of the line as all its outputs state it; None where one does not, or they differ.

    One output of basic insulation makes the whole line one of basic insulation.
    """
    if name == "dali_supply_max_ma":
        return _supply_most(outputs)
    source = FROM_OUTPUT.get(name)
    if source is None or not outputs:
        return None
    traits = [output.traits.get(source, UNKNOWN) for output in outputs]
    if name == "output_insulation":
        basic = [trait for trait in traits if trait.content == "basic"]
        if basic:
            return basic[0]
    alike = {_key(trait.content) for trait in traits}
    return traits[0] if len(alike) == 1 and traits[0].content is not None else None


def _supply_most(outputs: Sequence[Equipment]) -> Trait | None:
    """Of one output with a bus supply of its own: from what it guarantees to what the standard allows."""
    if len(outputs) != 1:
        return None
    guaranteed = outputs[0].traits.get("dali_supply_current_ma", UNKNOWN).content
    if not isinstance(guaranteed, Interval):
        return None
    most = max(DALI_SUPPLY_MOST_MA, guaranteed.high)
    return Trait(Interval(guaranteed.low, most), "standard", DALI_AG_ELECTRICAL)


def counted(circuits: Sequence[Circuit], stated: Mapping[str, Trait], dataset: Dataset) -> dict[str, Content]:
    """How many controls, directions, kinds of addressing, breakers and DMX slots schedule and project name.

    Keys are full trait names. More than one direction or kind of addressing is a contradiction. The
    breakers are those named, so at least so many are there.
    """
    outputs = outputs_of(circuits, dataset)
    breakers = {
        member.row.breaker for circuit in circuits for member in circuit.members if member.row.breaker
    }
    counts = {
        "controls": max(1, len(outputs)),
        "control_directions_stated": _different("output_direction", outputs, stated),
        "dali_addressings_stated": _different("dali_addressing", outputs, stated),
        "breakers": max(1, len(breakers)),
    }
    found: dict[str, Content] = {
        f"line.{name}": Interval(float(count), float(count)) for name, count in counts.items()
    }
    found["line.dmx_zone_slots"] = _zone_slots(circuits)
    return found


def _zone_slots(circuits: Sequence[Circuit]) -> Interval | None:
    """Each circuit with the slots of its largest driver; unknown where one footprint is."""
    footprints = [circuit.values.get("circuit.dmx_footprint_slots") for circuit in circuits]
    known = [footprint for footprint in footprints if isinstance(footprint, Interval)]
    if len(known) < len(footprints):
        return None
    return Interval(sum(slots.low for slots in known), sum(slots.high for slots in known))


def _different(name: str, outputs: Sequence[Equipment], stated: Mapping[str, Trait]) -> int:
    contents = [output.traits.get(FROM_OUTPUT[name], UNKNOWN).content for output in outputs]
    contents.append(stated.get(name, UNKNOWN).content)
    return len({content for content in contents if isinstance(content, str)})


def _key(content: Content) -> object:
    return (content.sure, content.possible) if isinstance(content, TokenSet) else content
