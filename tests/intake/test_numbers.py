"""The grammar of figures: what it reads and what it refuses."""

from __future__ import annotations

import pytest

from compat.intake.cells import NumberText, Unreadable, clean
from compat.intake.figure_grammar import DecimalMark, decimal_mark, split_pair
from compat.intake.numbers import Figures, quantity
from compat.intake.units import UnitTable
from compat.model.values import Interval
from tests.intake.files import vocabulary

UNITS = UnitTable(vocabulary())


def figures(name: str, unit: str | None = None, decimal: DecimalMark | None = None) -> Figures:
    trait = vocabulary().traits[f"driver.{name}"]
    return Figures(trait, UNITS, trait.unit if unit is None else unit, decimal)


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
        ("1 234", 1234, 1234),
        ("1'234.5", 1234.5, 1234.5),
        ("1,234.5", 1234.5, 1234.5),
        ("1.234,5 W", 1234.5, 1234.5),
        ("1.234.567", 1234567, 1234567),
        ("0.950", 0.95, 0.95),
        ("2 x 9W", 18, 18),
        ("2x9", 18, 18),
        ("2x9,5 W", 19, 19),
        ("2 × 9 W", 18, 18),
        ("14.4 W/m, 5 m", 72, 72),
        ("24 V DC 14.4 W/m, 5 m", 72, 72),
        ("14,4 W/m x 5000 mm", 72, 72),
        ("5 m x 14.4 W/m", 72, 72),
        ("~10 W", 9, 11),
        ("ca. 10 W", 9, 11),
        ("about 10", 9, 11),
        ("5 bis 6 W", 5, 6),
        ("5 à 6 W", 5, 6),
        ("1.5 kW", 1500, 1500),
        ("max. 7 Watt", 0, 7),
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
        ("1.250 W", "'1.250 W' may mean 1.250 or 1250"),
        ("14.4 W/m", "'14.4 W/m' is the power of one metre, and no length is given"),
        ("1,23,4", "'1,23,4' cannot be read as the input power in W"),
        ("12W?", "'12W?' cannot be read as the input power in W"),
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
        ("around the house", "'around the house' cannot be read as the input power in W"),
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


@pytest.mark.parametrize(
    ("text", "decimal", "value"),
    [
        ("1.250 W", ",", 1250),
        ("1.250", ".", 1.25),
        ("1,250", ".", 1250),
        ("1,250", ",", 1.25),
        ("12,5", ".", 12.5),
        ("12.5", ",", 12.5),
        ("1.250,5", ",", 1250.5),
        ("1 250,5", ",", 1250.5),
    ],
)
def test_the_decimal_mark_of_the_column_settles_thousands(
    text: str, decimal: DecimalMark, value: float
) -> None:
    assert figures("input_power_w", decimal=decimal).interval(text) == Interval(value, value)


def test_a_number_of_the_file_is_never_a_thousand() -> None:
    reader = figures("input_power_w", decimal=",")
    assert reader.interval(clean(NumberText("1.25"))) == Interval(1.25, 1.25)
    assert reader.interval(clean(NumberText("1.250"))) == Interval(1.25, 1.25)
    assert reader.interval(clean("1.250")) == Interval(1250, 1250)


@pytest.mark.parametrize(
    ("texts", "mark"),
    [
        (["1.250", "12,5"], ","),
        (["1.250", "2.500"], None),
        (["7.5 W", "1,250"], "."),
        (["7.5", "7,5"], None),
        (["1.234.567"], ","),
        (["5.5-6.5 W"], "."),
        (["0,125"], ","),
        (["12", "n/a", ""], None),
        ([NumberText("1.5"), "1,250"], None),
        (["1.250,5"], ","),
    ],
)
def test_the_decimal_mark_of_some_cells(texts: list[str], mark: str | None) -> None:
    assert decimal_mark(texts) == mark


def test_a_bare_figure_of_a_current_is_not_known_to_be_ampere() -> None:
    with pytest.raises(Unreadable) as caught:
        figures("input_current_a", "").interval("45")
    assert caught.value.what == "'45' has no unit"
    assert figures("input_current_a", "").interval("45 mA") == Interval(0.045, 0.045)


@pytest.mark.parametrize("text", ["1-100%", "1-100 %", "100-1%", "1% - 100%", "1...100 %", "1 to 100%"])
def test_a_dimming_range_gives_its_lower_end(text: str) -> None:
    assert figures("dim_floor_percent").interval(text) == Interval(1, 1)


def test_a_range_of_lowest_levels_stays_a_range() -> None:
    assert figures("dim_floor_percent").interval("5-10 %") == Interval(5, 10)
    assert figures("dim_floor_percent").interval("100%") == Interval(100, 100)


def test_direct_voltage_is_not_that_of_the_mains() -> None:
    with pytest.raises(Unreadable):
        figures("input_voltage_min_v").interval("24 V DC")


def test_va_is_not_watt_even_when_the_table_gives_both_one_dimension() -> None:
    trait = vocabulary().traits["driver.input_power_w"]
    assert UNITS.comparable("va", trait) is False
    assert UNITS.comparable("w", trait) is True


@pytest.mark.parametrize(
    ("text", "count"), [("1", 1), ("6 Stk.", 6), ("6 no.", 6), ("6", 6), ("6.0", 6), ("100000", 100000)]
)
def test_quantities(text: str, count: int) -> None:
    assert quantity(text) == count


@pytest.mark.parametrize("text", ["0", "-1", "1.5", "6,000", "100001", "?", "six", "1e3", "5-6", "６"])
def test_quantities_that_are_refused(text: str) -> None:
    with pytest.raises(Unreadable):
        quantity(text)


def test_a_pair_needs_a_figure_on_both_sides() -> None:
    assert split_pair("28A/380us") == ("28A", "380us")
    assert split_pair("28 A @ 380 µs") == ("28 A", "380 µs")
    assert split_pair("20 A (200 µs)") == ("20 A", "200 µs")
    assert split_pair("20A, 200us") == ("20A", "200us")
    assert split_pair("20A 0.2 ms") == ("20A", "0.2 ms")
    assert split_pair("20 A") is None
    assert split_pair("n/k") is None
    assert split_pair("28 A") is None
