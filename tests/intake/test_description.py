"""What a description surely says, and what it leaves open."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from compat.intake.description import read_description
from compat.model.values import Content, Interval, TokenSet
from tests.intake.files import vocabulary

EITHER = TokenSet(frozenset({"switched"}), frozenset({"switched", "forward_phase", "reverse_phase"}))


def methods(*names: str) -> TokenSet:
    return TokenSet.exactly("switched", *names)


def watts(low: float, high: float | None = None) -> Interval:
    return Interval(low, low if high is None else high)


def strip(watts_per_m: float, length_m: float | None = None) -> dict[str, Content]:
    known = {"led_strip_w_per_m": watts_per_m, "led_strip_length_m": length_m}
    return {name: watts(figure) for name, figure in known.items() if figure is not None}


def mains(low: float, high: float) -> dict[str, Content]:
    return {"input_voltage_min_v": Interval(low, low), "input_voltage_max_v": Interval(high, high)}


LAMP, CURRENT, VOLTAGE = "integral_lamp", "constant_current_driver", "constant_voltage_driver"
EXAMPLES: dict[str, dict[str, Content]] = {
    "GU10 7W LED dimmable 2700K": {"load_type": LAMP, "input_power_w": watts(7)},
    "LED strip 24V 14.4W/m 5m": {"load_type": VOLTAGE, **strip(14.4, 5)},
    "Downlight 9W 350mA DALI IP65": {
        "load_type": CURRENT, "input_power_w": watts(9), "methods": methods("dali"),
    },
    "LED-Streifen 24 V, 9,6 W/m, 5 m, RGBW": {"load_type": VOLTAGE, **strip(9.6, 5)},
    "LED tape 12V 4.8W/m": {"load_type": VOLTAGE, **strip(4.8)},
    "E27 LED filament 6,5 W 2700K": {"load_type": LAMP, "input_power_w": watts(6.5)},
    "Recessed downlight 10W 3000K 36° IP65 CRI90": {"input_power_w": watts(10)},
    "Downlight DL9W27 36° 2700K": {},
    "Wall light 2 x 9W": {"input_power_w": watts(18)},
    "Track, 3x7W GU10 LED": {"load_type": LAMP, "input_power_w": watts(21)},
    "Batten 1200 x 300 x 60, 36 W, DALI-2": {"input_power_w": watts(36), "methods": methods("dali")},
    "Panel 600x600 mm 36W 1-10V": {"input_power_w": watts(36), "methods": methods("analog_0_10v")},
    "GU10 5W LED (50W equivalent)": {"load_type": LAMP, "input_power_w": watts(5)},
    "Pendant E27 max 60W": {},
    "Downlight 7W/10W/12W selectable": {},
    "Downlight 9W, optional DALI": {"input_power_w": watts(9)},
    "Downlight 9W, DALI or 1-10V": {"input_power_w": watts(9)},
    "Downlight 9W non-dimmable": {"input_power_w": watts(9), "methods": methods()},
    "Downlight 9W not DALI": {},
    "Spot 6W trailing edge dimmable": {"input_power_w": watts(6), "methods": methods("reverse_phase")},
    "Spot 6W TRIAC dimmable": {"input_power_w": watts(6), "methods": EITHER},
    "Einbaustrahler 8 W Phasenabschnitt": {"input_power_w": watts(8), "methods": methods("reverse_phase")},
    "Einbaustrahler 8 W nicht dimmbar": {"input_power_w": watts(8), "methods": methods()},
    "Spot encastré 7W gradable 2700K": {"input_power_w": watts(7)},
    "Bombilla LED E14 4W": {"load_type": LAMP, "input_power_w": watts(4)},
    "MR16 LED 5W 12V": {"input_power_w": watts(5)},
    "LED lamp GU5.3 5W": {"input_power_w": watts(5)},
    "Halogen GU10 50W": {"load_type": "incandescent", "input_power_w": watts(50)},
    "Uplighter 12W 220-240V 50/60Hz": {
        "input_power_w": watts(12), **mains(220, 240),
        "input_frequency_min_hz": Interval(50, 50), "input_frequency_max_hz": Interval(60, 60),
    },
    "Uplighter 12W 230V": {"input_power_w": watts(12), **mains(230, 230)},
    "Uplighter 12W 24V DC": {"input_power_w": watts(12)},
    "Wall washer RGBW DMX 30W": {"input_power_w": watts(30), "methods": methods("dmx")},
    "Downlight 9W 0.5A": {"input_power_w": watts(9)},
    "Downlight 12W 60mA 230V": {"input_power_w": watts(12), **mains(230, 230)},
    "Downlight 9W CC 350mA": {"load_type": CURRENT, "input_power_w": watts(9)},
    "Lighting point": {},
    "Spot 5-7W": {"input_power_w": watts(5, 7)},
    "Floodlight 1.250W": {},
    "Bathroom extractor fan 15W": {"load_type": "motor", "input_power_w": watts(15)},
    "T5 fluorescent 28W": {"load_type": "fluorescent", "input_power_w": watts(28)},
    "LED tube replaces T8 fluorescent 36W": {},
    "Model X-7W, 2700 K": {},
    "Downlight PF 0.95 9W": {"input_power_w": watts(9), "power_factor": Interval(0.95, 0.95)},
    "Downlight DALI DT8 9W": {
        "input_power_w": watts(9), "methods": methods("dali"), "dali_device_type": "type_8",
    },
    "Leuchte 9W dimmbar": {"input_power_w": watts(9)},
    "7": {},
    "": {},
    "TBC": {},
    "1200mm L x 300 W x 75 H": {},
    "Profile 20W wide": {},
    "9W DALI?": {},
    "9W?": {},
    "ca. 9W": {},
    "Spot 7W excl. lamp": {},
    "Chandelier 12 x E14 4W LED": {"load_type": LAMP},
    "Twin spot 2 x GU10 5W LED": {"load_type": LAMP},
    "Festoon 10m, 20 lamps, 1W each": {},
    "Sensor, standby 0.5W": {},
    "Downlight 9W, emergency 3W": {"input_power_w": watts(9)},
    "7W = 50W": {},
    "LED strip 24V 9.6 W/m, 12 m in 3 runs of 4 m": {"load_type": VOLTAGE, **strip(9.6)},
    "Downlight 15W 120-277V 0-10V": {
        "input_power_w": watts(15), "methods": methods("analog_0_10v"), **mains(120, 277),
    },
    "Spot 12W x 2": {},
    "Spot 2 no. 12W": {},
    "Spot 2 off 12W": {},
}  # fmt: skip


@pytest.mark.parametrize("text", EXAMPLES)
def test_descriptions(text: str) -> None:
    assert read_description(text, vocabulary()) == EXAMPLES[text]


@given(st.text(alphabet="0123456789.,-/x ()WVAmKHz°GUE LEDALIPdimstrp?", max_size=60) | st.text(max_size=60))
def test_any_text_gives_traits_of_a_driver_or_nothing(text: str) -> None:
    for name, content in read_description(text, vocabulary()).items():
        assert f"driver.{name}" in vocabulary().traits
        assert content is not None


@given(
    st.integers(min_value=1, max_value=9999),
    st.sampled_from(["K", "lm", "°", "mm", "V", "mA", "x", " CRI", ""]),
)
def test_a_figure_of_another_thing_is_never_taken_for_watts(number: int, unit: str) -> None:
    assert "input_power_w" not in read_description(f"LED downlight {number}{unit} dimmable", vocabulary())
