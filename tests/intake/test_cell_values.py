"""What a cell under a heading states, the traits beside its own column included."""

from __future__ import annotations

import pytest

from compat.intake.cell_values import CellReader
from compat.intake.cells import NumberText, Unreadable, clean
from compat.intake.headings import Headings
from compat.model.values import Content, Interval, TokenSet
from tests.intake.files import vocabulary

HEADINGS = Headings(vocabulary())
READER = CellReader(vocabulary(), HEADINGS.units)


def exact(figure: float) -> Interval:
    return Interval(figure, figure)


def stated(heading: str, text: str, reader: CellReader = READER) -> dict[str, Content]:
    return reader.contents(clean(text), HEADINGS.bind(0, heading))


MAINS_230 = {"input_voltage_min_v": exact(230), "input_voltage_max_v": exact(230)}


@pytest.mark.parametrize(
    ("heading", "text", "expected"),
    [
        ("Watts", "2 x 9W", {"input_power_w": exact(18)}),
        ("Watts", "24 V DC 14.4 W/m, 5 m", {"input_power_w": exact(72)}),
        ("Watts", "7W LED GU10", {"input_power_w": exact(7), "load_type": "integral_lamp"}),
        ("Watts", "as spec", {}),
        ("Watts", "-", {}),
        ("Total load (kW)", "1.2", {"total_power_w": exact(1200)}),
        ("Dimming", "DALI-2 DT8", {
            "methods": TokenSet.exactly("dali", "switched"), "dali_device_type": "type_8",
        }),
        ("Dimming", "DALI (DT6)", {
            "methods": TokenSet.exactly("dali", "switched"), "dali_device_type": "type_6",
        }),
        ("Min dim level", "1-100%", {"dim_floor_percent": exact(1)}),
        ("Min dim level", "20%", {"dim_floor_percent": exact(20)}),
        ("Type of load", "350 mA CC", {"load_type": "constant_current_driver"}),
        ("Type of load", "24 V CV", {"load_type": "constant_voltage_driver"}),
        ("Current", "350 mA CC", {"load_type": "constant_current_driver", "current_each_a": exact(0.35)}),
        ("Current", "0.05 A", {"current_each_a": exact(0.05)}),
        ("Current (mA)", "350", {"current_each_a": exact(0.35)}),
        ("Voltage", "230 V~50 Hz", {"voltage_each_v": exact(230), **MAINS_230}),
        ("Voltage", "24 V DC", {"voltage_each_v": exact(24)}),
        ("Voltage", "24VDC", {"voltage_each_v": exact(24)}),
        ("Voltage (V)", "12", {"voltage_each_v": exact(12)}),
        ("Supply voltage", "230 V~50 Hz", {
            **MAINS_230, "input_frequency_min_hz": exact(50), "input_frequency_max_hz": exact(50),
        }),
        ("Supply voltage", "220-240V AC, 50/60Hz", {
            "input_voltage_min_v": exact(220), "input_voltage_max_v": exact(240),
            "input_frequency_min_hz": exact(50), "input_frequency_max_hz": exact(60),
        }),
        ("Supply voltage", "120-277V", {
            "input_voltage_min_v": exact(120), "input_voltage_max_v": exact(277),
        }),
        ("Inrush", "28 A/380 us", {"inrush_peak_a": exact(28), "inrush_width_us": exact(380)}),
        ("W/m", "14.4", {"led_strip_w_per_m": exact(14.4)}),
        ("W/m", "14,4 W/m", {"led_strip_w_per_m": exact(14.4)}),
        ("Strip length", "5000 mm", {"led_strip_length_m": exact(5)}),
        ("Emergency", "ja", {"emergency": True}),
    ],
)  # fmt: skip
def test_cells(heading: str, text: str, expected: dict[str, Content]) -> None:
    assert stated(heading, text) == expected


@pytest.mark.parametrize(
    ("heading", "text", "what"),
    [
        ("Current", "45", "'45' has no unit"),
        ("Mains current", "45", "'45' has no unit"),
        ("Inrush", "28", "'28' has no unit"),
        ("Inrush time", "200", "'200' has no unit"),
        ("Dimming", "DALI?", "'DALI?' is not said for sure"),
        ("Watts", "1.250 W", "'1.250 W' may mean 1.250 or 1250"),
        ("Watts", "14.4 W/m", "'14.4 W/m' is the power of one metre, and no length is given"),
        ("Watts", "7W or 9W", "'7W or 9W' cannot be read as the input power in W"),
        ("Supply voltage", "24 V DC", "'24 V DC' is direct voltage, not that of the mains"),
    ],
)
def test_cells_that_are_a_question(heading: str, text: str, what: str) -> None:
    with pytest.raises(Unreadable) as caught:
        stated(heading, text)
    assert caught.value.what == what


def test_the_decimal_mark_of_the_file_and_of_the_column() -> None:
    german = CellReader(vocabulary(), HEADINGS.units, ",")
    watts = HEADINGS.bind(0, "Leistung (W)")
    assert german.contents("1.250", watts) == {"input_power_w": exact(1250)}
    assert german.contents("1.250", watts, ".") == {"input_power_w": exact(1.25)}
    assert german.contents(clean(NumberText("1.250")), watts) == {"input_power_w": exact(1.25)}
    assert german.contents("1.250", watts) == {"input_power_w": exact(1250)}
