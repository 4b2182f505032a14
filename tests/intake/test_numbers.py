"""The grammar of figures: what it reads and what it refuses."""

from __future__ import annotations

import pytest

from compat.intake.cells import Unreadable
from compat.intake.numbers import Figures, quantity, split_pair
from compat.intake.units import UnitTable
from compat.model.values import Interval
from tests.intake.files import vocabulary

UNITS = UnitTable(vocabulary())


def figures(name: str, unit: str | None = None) -> Figures:
    trait = vocabulary().traits[f"driver.{name}"]
    return Figures(trait, UNITS, unit or trait.unit)


WATTS = figures("input_power_w")
PEAK = figures("inrush_peak_a")


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        ("5.5", 5.5, 5.5),
        ("5,5", 5.5, 5.5),
        (".5", 0.5, 0.5),
        ("0,125", 0.125, 0.125),
        ("1234,567", 1234.567, 1234.567),
        ("1.234", 1.234, 1.234),
        ("1e-05", 1e-5, 1e-5),
        ("5.5 to 6.5", 5.5, 6.5),
        ("5.5-6.5", 5.5, 6.5),
        ("5.5 – 6.5 W", 5.5, 6.5),
        ("5.5 W to 6.5 W", 5.5, 6.5),
        ("5to6", 5, 6),
        ("5...6", 5, 6),
        ("5,5-6,5", 5.5, 6.5),
        ("12,5 W", 12.5, 12.5),
        ("100 W max", 0, 100),
        ("max. 0,5 W", 0, 0.5),
        ("≤0.5", 0, 0.5),
        ("<0.5", 0, 0.5),
        ("up to 6 watts", 0, 6),
        ("6\u00a0W", 6, 6),
    ],
)
def test_figures_that_are_read(text: str, low: float, high: float) -> None:
    assert WATTS.interval(text) == Interval(low, high)


@pytest.mark.parametrize(
    ("name", "text", "low", "high"),
    [
        ("inrush_peak_a", "28 A", 28, 28),
        ("inrush_peak_a", "350 mA", 0.35, 0.35),
        ("inrush_peak_a", "900 mA to 1.1 A", 0.9, 1.1),
        ("inrush_width_us", "380 us", 380, 380),
        ("inrush_width_us", "380µs", 380, 380),
        ("inrush_width_us", "380\u03bcs", 380, 380),
        ("inrush_width_us", "0.38 ms", 380, 380),
        ("dim_floor_percent", "1 %", 1, 1),
        ("dim_floor_percent", "1%", 1, 1),
        ("dim_floor_percent", "1", 1, 1),
        ("power_factor", "90 %", 0.9, 0.9),
        ("power_factor", "> 0.9", 0.9, 1),
        ("input_voltage_min_v", "120 VAC", 120, 120),
        ("input_voltage_min_v", "230 V~", 230, 230),
        ("input_frequency_min_hz", "50/60 Hz", 50, 60),
        ("dali_addresses", "2", 2, 2),
    ],
)
def test_units(name: str, text: str, low: float, high: float) -> None:
    assert figures(name).interval(text) == Interval(low, high)


def test_the_unit_of_the_heading_is_that_of_a_bare_number() -> None:
    assert figures("inrush_peak_a", "ma").interval("350") == Interval(0.35, 0.35)
    assert figures("inrush_peak_a", "ma").interval("28 A") == Interval(28, 28)


@pytest.mark.parametrize("text", ["", "-", "–", "?", "unknown", "N/K", "n/a", "TBC"])
def test_not_known(text: str) -> None:
    assert WATTS.interval(text) is None


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("1,234", "'1,234' may mean 1.234 or 1234"),
        ("1,234.5", "'1,234.5' has a thousands separator"),
        ("1 234", "'1 234' has a thousands separator"),
        ("-5", "'-5' is below zero"),
        ("-5 to 3", "'-5 to 3' is below zero"),
        ("1e400", "'1e400' is too large"),
        ("2000000000", "'2000000000' is too large"),
        ("6.5-5.5", "'6.5-5.5' has the larger end first"),
        ("28 V", "'28 V' is in V"),
        ("10 fc", "'fc' in '10 fc' is not a known unit"),
        ("6 VA", "'6 VA' is in VA"),
        ("> 5", "'> 5' gives no upper end"),
        ("0", "'0' cannot be the input power"),
        ("nan", "'nan' cannot be read as the input power in W"),
        ("inf", "'inf' cannot be read as the input power in W"),
        ("5²", "'5²' cannot be read as the input power in W"),
        ("٥", "'٥' cannot be read as the input power in W"),
        ("0x10", "'x10' in '0x10' is not a known unit"),
        ("1_000", "'1_000' cannot be read as the input power in W"),
        ("28 A/30 A", "'28 A/30 A' cannot be read as the input power in W"),
        ("=1+1", "'=1+1' cannot be read as the input power in W"),
        ("about 5", "'about 5' cannot be read as the input power in W"),
        ("9" * 400, "'" + "9" * 37 + "...' cannot be read as the input power in W"),
    ],
)
def test_figures_that_are_refused(text: str, what: str) -> None:
    with pytest.raises(Unreadable) as caught:
        WATTS.interval(text)
    assert caught.value.what == what


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("power_factor", "1.1"),
        ("power_factor", "90"),
        ("dim_floor_percent", "101"),
        ("dali_addresses", "1.5"),
        ("dali_addresses", "2 %"),
        ("power_factor", "0"),
    ],
)
def test_figures_that_cannot_be(name: str, text: str) -> None:
    with pytest.raises(Unreadable):
        figures(name).interval(text)


def test_va_is_not_watt_even_when_the_table_gives_both_one_dimension() -> None:
    trait = vocabulary().traits["driver.input_power_w"]
    assert UNITS.comparable("va", trait) is False
    assert UNITS.comparable("w", trait) is True


@pytest.mark.parametrize(("text", "count"), [("1", 1), ("6", 6), ("6.0", 6), ("100000", 100000)])
def test_quantities(text: str, count: int) -> None:
    assert quantity(text) == count


@pytest.mark.parametrize("text", ["0", "-1", "1.5", "6,000", "100001", "?", "six", "1e3", "5-6", "６"])
def test_quantities_that_are_refused(text: str) -> None:
    with pytest.raises(Unreadable):
        quantity(text)


def test_a_pair_needs_a_figure_on_both_sides() -> None:
    assert split_pair("28A/380us") == ("28A", "380us")
    assert split_pair("28 A @ 380 µs") == ("28 A", "380 µs")
    assert split_pair("n/k") is None
    assert split_pair("28 A") is None
