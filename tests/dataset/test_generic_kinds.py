"""Item 34: kinds of gear and control that a trade reader looks for are there, with usual figures."""

from __future__ import annotations

import pytest

from compat.dataset.read import Dataset, Equipment
from compat.model.values import UNKNOWN, Interval

DRIVERS = {
    "toroidal transformer": {"load_type": "magnetic_transformer", "name": "Toroidal"},
    "stacked transformer": {"load_type": "magnetic_transformer", "name": "stacked core"},
    "emergency gear, type 1": {"dali_device_type": "type_1"},
    "converter, type 5": {"dali_device_type": "type_5"},
    "relay, type 7": {"dali_device_type": "type_7"},
    "gear with a bus supply": {"dali_integrated_supply_ma": Interval(50.0, 60.0)},
    "12 V DMX decoder": {"load_type": "constant_voltage_driver", "name": "DMX decoder, 12 V"},
    "24 V DMX decoder of 16 bit": {"name": "DMX decoder, 24 V", "dmx_bits": Interval(16.0, 16.0)},
    "DMX decoder at 277 V": {"name": "DMX decoder", "input_voltage_max_v": Interval(305.0, 305.0)},
    "0-10 V at 277 V, full at 8 V": {"control_full_output_v": Interval(8.0, 8.0)},
    "0-10 V at 277 V, full at 9 V": {"control_full_output_v": Interval(9.0, 9.0)},
}
OUTPUTS = {
    "passive 0-10 V wall control": {"name": "wall control, passive"},
    "wall switch": {"name": "Wall switch", "switching_element": "relay"},
    "two-way switching": {"name": "two-way"},
    "companion controls": {"name": "companion controls", "method": "forward_phase"},
    "relay by NEMA 410": {"ballast_current_max_a": Interval(16.0, 16.0)},
}
BREAKERS = {
    "UL 489": {"name": "Branch-circuit breaker, 15 A"},
    "arc fault": {"name": "arc-fault protection, 20 A"},
}


def is_such(entry: Equipment, wanted: dict[str, object]) -> bool:
    named = str(wanted.get("name", "")) in entry.name
    stated = (
        entry.traits.get(name, UNKNOWN).content == value for name, value in wanted.items() if name != "name"
    )
    return named and all(stated)


@pytest.mark.parametrize(
    ("table", "wanted"),
    [
        pytest.param(table, wanted, id=kind)
        for table, kinds in (("drivers", DRIVERS), ("outputs", OUTPUTS), ("breakers", BREAKERS))
        for kind, wanted in kinds.items()
    ],
)
def test_34_a_kind_is_there(table: str, wanted: dict[str, object], dataset: Dataset) -> None:
    assert any(is_such(entry, wanted) for entry in dataset.tables[table].values())


def interval(entry: Equipment, name: str) -> Interval | None:
    content = entry.traits.get(name, UNKNOWN).content
    return content if isinstance(content, Interval) else None


def test_34_figures_that_a_trade_reader_doubted(dataset: Dataset) -> None:
    drivers, outputs = dataset.tables["drivers"], dataset.tables["outputs"]
    # A rectifier with a bulk capacitor and no correction: measured from 0.47 to 0.67 on lamps of that kind.
    factor = interval(drivers["D0009"], "power_factor")
    assert factor is not None
    assert factor.low >= 0.47
    assert factor.high <= 0.67
    # A toroid draws far more than a stacked core when it is switched on.
    toroid, stacked = (interval(drivers[name], "inrush_peak_a") for name in ("D0100", "D0031"))
    assert toroid is not None
    assert stacked is not None
    assert toroid.high > 2 * stacked.high
    # One relay contact is one output, with both of its pulses.
    assert interval(outputs["O0021"], "inrush_peak_2_max_a") is not None
    assert "O0022" not in outputs
    # Receivers are a unit load at most, and an eighth of it at the least.
    for entry in drivers.values():
        loads = interval(entry, "dmx_unit_loads")
        assert loads is None or (loads.low >= 0.125 and loads.high <= 1), entry.id
