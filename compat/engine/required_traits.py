"""The traits that the program itself reckons with, whatever the rules say; a dataset must know them."""

from __future__ import annotations

from collections.abc import Iterator

from compat import __version__
from compat.dataset.find import program_of
from compat.dataset.read import Dataset
from compat.engine.line_computed import NEEDS
from compat.model.faults import BadInput, Fault
from compat.model.values import Origin

# Named in the code of the engine and of the plans; a test holds the list equal to that.
ALWAYS = (
    "driver.control_full_output_v",
    "driver.dim_floor_percent",
    "driver.dmx_slots",
    "driver.input_current_a",
    "circuit.cable_length_m",
    "circuit.control_pair_selv",
    "circuit.dali_addresses",
    "circuit.dali_current_ma",
    "circuit.dmx_footprint_slots",
    "circuit.dmx_slots",
    "circuit.dmx_unit_loads",
    "circuit.driver_count",
    "circuit.input_characters",
    "circuit.input_current_a",
    "circuit.input_power_w",
    "circuit.light_modulation_frequency_hz",
    "circuit.load_types",
    "circuit.methods",
    "circuit.wanted_control",
    "line.cable_cross_section_mm2",
    "line.cable_resistance_ohm_per_km",
    "line.control_current_directions",
    "line.control_insulations",
    "line.dali_addresses",
    "line.dali_addressing",
    "line.dmx_universes",
    "line.driver_count",
    "line.kind",
    "line.output_insulation",
    "output.capacitive_share",
    "output.input_voltage_max_v",
    "output.max_current_a",
    "output.max_load_w",
    "output.method",
    "output.min_load_w",
    "source_impedance.inductance_uh",
    "source_impedance.resistance_ohm",
    "supply.voltage_v",
)
SHOWN_MOST = 6


def check_traits(dataset: Dataset) -> None:
    """Raises BadInput when the vocabulary of a dataset lacks what the program reckons with."""
    needed = dict.fromkeys(needed_traits(dataset))
    lacking = [name for name in needed if name not in dataset.vocabulary.traits]
    if not lacking:
        return
    names = ", ".join(lacking[:SHOWN_MOST]) + (", ..." if len(lacking) > SHOWN_MOST else "")
    what = f"the dataset {dataset.version} does not know {names}, with which compat {__version__} reckons"
    program = program_of(dataset.root)
    do = f"Use the compat of its time{f', {program}' if program else ''}, or a newer dataset"
    raise BadInput([Fault(what, Origin("traits.csv"), do=do)])


def needed_traits(dataset: Dataset) -> Iterator[str]:
    """What is always needed, and the parts of the computed traits of a line that the dataset has."""
    yield from ALWAYS
    for name, parts in NEEDS.items():
        if f"line.{name}" in dataset.vocabulary.traits:
            yield from (f"line.{part}" for part in parts)
