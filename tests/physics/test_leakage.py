"""Current through a capacitance: worked values and what is out of range."""

from __future__ import annotations

import math

import pytest

from compat.physics.leakage import cable_coupled_current_a, capacitive_current_a


@pytest.mark.parametrize(
    ("volts", "hertz", "farad", "milliampere"),
    [(230, 50, 10e-9, 0.723), (120, 60, 10e-9, 0.452), (230, 50, 100e-9, 7.23), (120, 60, 100e-9, 4.52)],
)
def test_worked_values(volts: float, hertz: float, farad: float, milliampere: float) -> None:
    assert capacitive_current_a(volts, hertz, farad) * 1e3 == pytest.approx(milliampere, rel=5e-3)  # WE-50


def test_cable_coupling_of_fifty_metres() -> None:
    found = [cable_coupled_current_a(230.0, 50.0, 50.0, farad) * 1e3 for farad in (100e-12, 150e-12)]
    assert found == pytest.approx([0.36, 0.54], abs=5e-3)


def test_ten_metres_of_a_published_page() -> None:
    """100 pF/m over 10 m at 230 V and 50 Hz: the page says 73 uA."""
    assert cable_coupled_current_a(230.0, 50.0, 10.0, 100e-12) * 1e6 == pytest.approx(73.0, rel=0.02)


@pytest.mark.parametrize("bad", [-1.0, math.nan, math.inf])
def test_a_value_out_of_range_is_told(bad: float) -> None:
    with pytest.raises(ValueError, match="voltage_v is"):
        capacitive_current_a(bad, 50.0, 1e-9)
    with pytest.raises(ValueError, match="length_m is"):
        cable_coupled_current_a(230.0, 50.0, bad, 1e-10)
