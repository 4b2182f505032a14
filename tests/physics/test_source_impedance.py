"""Source impedance from fault current, transformer and cable: worked values."""

from __future__ import annotations

import math

import numpy as np
import pytest

from compat.model.values import Interval
from compat.physics.cable import CLASS_1_2, resistance_at
from compat.physics.source_impedance import (
    source_of_cable,
    source_of_fault_current,
    source_of_transformer,
    sources_in_series,
)


def exactly(value: float) -> Interval:
    return Interval(value, value)


def test_reference_impedance() -> None:
    found = source_of_fault_current(230.0, exactly(487.6), exactly(0.25 / 0.4), 50.0)  # WE-09
    assert found.resistance_ohm.low == pytest.approx(0.4, rel=5e-3)
    assert found.inductance_h.high * 1e6 == pytest.approx(795.8, rel=5e-3)
    assert found.resistance_ohm.low == pytest.approx(found.resistance_ohm.high, rel=1e-12)


def test_a_fault_current_range_encloses_every_source_in_it() -> None:
    generator = np.random.default_rng(151)
    found = source_of_fault_current(230.0, Interval(400.0, 3000.0), Interval(0.1, 1.5), 50.0)
    for _ in range(1000):
        impedance, ratio = 230.0 / generator.uniform(400.0, 3000.0), generator.uniform(0.1, 1.5)
        resistance = impedance / math.sqrt(1.0 + ratio**2)
        assert found.resistance_ohm.low <= resistance <= found.resistance_ohm.high
        assert found.inductance_h.low <= resistance * ratio / (100.0 * math.pi) <= found.inductance_h.high


def test_transformer_of_one_hundred_kilovolt_ampere() -> None:
    found = source_of_transformer(100e3, 400.0, exactly(4.0), exactly(1750.0), 50.0)
    impedance = math.hypot(found.resistance_ohm.low, 2 * math.pi * 50.0 * found.inductance_h.low)
    assert impedance == pytest.approx(0.064, rel=1e-12)
    assert found.resistance_ohm.low == pytest.approx(0.028, rel=1e-12)
    wider = source_of_transformer(100e3, 400.0, Interval(3.6, 4.4), Interval(1500.0, 2000.0), 50.0)
    assert wider.resistance_ohm.low < 0.028 < wider.resistance_ohm.high
    assert wider.inductance_h.low < found.inductance_h.low < wider.inductance_h.high
    with pytest.raises(ValueError, match="at most 4000 W"):
        source_of_transformer(100e3, 400.0, exactly(4.0), exactly(4001.0), 50.0)


def test_chain_of_transformer_and_cables() -> None:
    loop = CLASS_1_2[1.5] * 2.0
    cable = source_of_cable(
        exactly(20.0), Interval(resistance_at(loop, 20.0), resistance_at(loop, 70.0)), Interval(0.5, 0.7)
    )
    assert cable.resistance_ohm.low == pytest.approx(0.484)
    assert cable.resistance_ohm.high == pytest.approx(0.484 * 1.2)
    assert cable.inductance_h.high == pytest.approx(14e-6)
    supply = source_of_fault_current(230.0, Interval(500.0, 2000.0), Interval(0.2, 0.7), 50.0)
    total = sources_in_series([supply, cable])
    assert total.resistance_ohm.high == pytest.approx(supply.resistance_ohm.high + cable.resistance_ohm.high)
    assert total.inductance_h.low == pytest.approx(supply.inductance_h.low + cable.inductance_h.low)
    assert sources_in_series([]).resistance_ohm == Interval(0.0, 0.0)


@pytest.mark.parametrize("bad", [-1.0, math.nan, math.inf])
def test_a_value_out_of_range_is_told(bad: float) -> None:
    with pytest.raises(ValueError, match="fault_current_a is"):
        source_of_fault_current(230.0, exactly(bad), exactly(0.5), 50.0)
    with pytest.raises(ValueError, match="frequency_hz is"):
        source_of_fault_current(230.0, exactly(500.0), exactly(0.5), bad)
    with pytest.raises(ValueError, match="short_circuit_percent is"):
        source_of_transformer(1e5, 400.0, exactly(bad), exactly(0.0), 50.0)
    with pytest.raises(ValueError, match="length_m is"):
        source_of_cable(exactly(bad), exactly(24.0), exactly(0.5))
