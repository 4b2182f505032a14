"""Figures with their units against pint, a units library, where both read the same text."""

from __future__ import annotations

import math

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from compat.intake.numbers import Figures
from compat.intake.units import UnitTable
from compat.model.values import Interval
from tests.intake.files import vocabulary
from tests.published.test_units_against_pint import IN_PINT

REGISTRY: pint.UnitRegistry[float] = pint.UnitRegistry()
UNITS = UnitTable(vocabulary())
# Spellings that pint reads as we do.
WRITTEN = {
    "input_power_w": ("W", "kW", "watt", "watts"),
    "inrush_peak_a": ("A", "mA", "kA", "ampere"),
    "inrush_width_us": ("us", "µs", "ms", "s"),
    "input_voltage_min_v": ("V", "volt", "volts", "mV"),
    "input_frequency_min_hz": ("Hz",),
}


@given(
    st.sampled_from([(name, unit) for name, units in WRITTEN.items() for unit in units]),
    st.decimals(min_value="0.01", max_value=900, places=2),
)
def test_a_figure_with_a_unit_is_what_pint_makes_of_it(written: tuple[str, str], figure: object) -> None:
    name, unit = written
    trait = vocabulary().traits[f"driver.{name}"]
    found = Figures(trait, UNITS, trait.unit, ".").interval(f"{figure} {unit}")
    expected = REGISTRY.Quantity(f"{figure} {unit}").to(IN_PINT[trait.unit]).magnitude
    assert found is not None
    assert math.isclose(found.low, expected, rel_tol=1e-12)
    assert found.is_exact()


@pytest.mark.parametrize(
    ("text", "ours", "by_pint"),
    [("12,5 W", 12.5, 125.0), ("120 VAC", 120.0, None), ("100 W max", None, None)],
)
def test_where_pint_reads_otherwise(text: str, ours: float | None, by_pint: float | None) -> None:
    """Why pint is only the oracle: it takes a decimal comma for a thousands separator, or refuses."""
    name = "input_voltage_min_v" if "V" in text else "input_power_w"
    found = Figures(vocabulary().traits[f"driver.{name}"], UNITS, "v" if "V" in text else "w").interval(text)
    assert found == (Interval(0, 100) if ours is None else Interval(ours, ours))
    try:
        magnitude: float | None = REGISTRY.Quantity(text).magnitude
    except (pint.PintError, AttributeError, ValueError):
        magnitude = None
    assert magnitude == by_pint
