"""Item 41: what the figures of a driver come to, as a look-up says it; figures typed from their sources."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

import compat
from compat.dataset.consequences import with_consequences
from compat.dataset.read import Dataset
from compat.model.faults import BadInput
from compat.model.values import Interval, Trait
from compat.physics.light_source_law import index_factor, on_mode_power_w


def told(driver: str | None = "D0033", **asked: object) -> list[str]:
    return list(compat.lookup(driver, up_to=8, **asked).answer.arithmetic)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("light", "levels"),
    [
        # IEC 62386-102, the standard curve: 229 is 50.5 %, 170 is 10.1 %, 85 is 0.991 %, 254 is 100 %.
        (50, "229 (50.5 %) on the logarithmic curve and 127 (50 %) on the linear curve"),
        (10, "170 (10.1 %) on the logarithmic curve and 25 (9.84 %) on the linear curve"),
        (1, "85 (0.991 %) on the logarithmic curve and 3 (1.18 %) on the linear curve"),
        (100, "254 (100 %) on the logarithmic curve and 254 (100 %) on the linear curve"),
        (0, "0 (0 %) on the logarithmic curve and 0 (0 %) on the linear curve"),
    ],
)
def test_41_dali_levels_of_both_curves(light: float, levels: str) -> None:
    assert f"{light} % of the light is DALI level {levels}." in told(light_percent=light)


def test_41_square_law_and_cie_lightness() -> None:
    """10 % looks like 31.6 % (IESNA Lighting Handbook, 9th edition); L* of 10 % is 37.8 (ISO/CIE 11664-4)."""
    said = told(light_percent=10)
    assert "10 % of the light looks like 31.6 % by the square law; its CIE lightness is 37.8." in said
    assert "To look like 50 % it has to be 25 % of the light, by the square law." in told(light_percent=50)


@pytest.mark.parametrize(
    ("seconds", "code", "extended"),
    [
        (1, "2 (1 s)", "10 times 0.1 s"),
        (3, "5 (2.83 s)", "3 times 1 s"),
        (90, "15 (90.5 s)", "9 times 10 s"),
        (960, "15 (90.5 s)", "16 times 60 s"),
    ],
)
def test_41_fades_by_code_base_and_multiplier(seconds: float, code: str, extended: str) -> None:
    said = f"A fade of {seconds} s is fade time code {code}; version 2 gear also takes an extended fade of"
    assert f"{said} {extended}." in told(fade_s=seconds)


def test_41_fade_rate() -> None:
    """Code 7 is 44.7 levels a second (IEC 62386-102): 253 levels in 5.66 s."""
    said = (
        "Held up or down, fade rate code 7 takes 5.66 s from the lowest level to full (44.7 levels a second)."
    )
    assert said in told(fade_s=6)


def test_41_standby_energy_of_a_year() -> None:
    """0.5 W for 8,760 hours are 4.38 kWh; eight of them 35.04 kWh."""
    assert "Standby of 8 drivers, all year: 35 kWh." in told(traits=["standby_power_w=0.5"], count=8)


def test_41_heat_of_a_dimmer_panel() -> None:
    stated = {"--method": "leading edge", "--current": "4", "--load-type": "filament lamp"}
    (said,) = [one for one in told(None, stated=stated, count=1) if one.startswith("Heat")]
    assert "4 to 6 W from the phase cut of one driver" in said


def test_41_least_load_from_a_holding_current() -> None:
    """A trade journal: 50 mA of a cheap dimmer are 6 W at 120 V."""
    stated = {
        "holding_current_ma": Trait(Interval(50.0, 50.0)),
        "input_voltage_min_v": Trait(Interval(120.0, 120.0)),
        "input_voltage_max_v": Trait(Interval(120.0, 120.0)),
    }
    assert with_consequences("output", stated)["min_load_w"].content == Interval(6.0, 6.0)
    written = stated | {"min_load_w": Trait(Interval(25.0, 25.0))}
    assert with_consequences("output", written)["min_load_w"].content == Interval(25.0, 25.0)


def test_41_greatest_on_mode_power() -> None:
    """Regulation (EU) 2019/2020, Annex II: 1.08 x (1.5 + 806/120) x 1.00 = 8.874 W."""
    assert on_mode_power_w(806, 80) == pytest.approx(8.874)
    assert on_mode_power_w(806, 80, directional=True) == pytest.approx(1.23 * (1.5 + 806 / 102))
    assert [index_factor(index) for index in (20, 80, 90, 97)] == [0.65, 1.0, 1.06, 1.11]
    lamp = {"--load-type": "LED lamp", "--watts": "9"}
    (said,) = [one for one in told(None, stated=lamp, traits=["luminous flux=806"]) if "European" in one]
    assert said.startswith("European law allows a lamp of 806 lm to take 8.87 W;")


def test_41_svm_of_a_waveform(tmp_path: Path) -> None:
    """A sine of 10.40 % at 100 Hz has SVM 0.4, a full-wave rectified sine 2.57 (IEC TR 63158)."""
    for name, light, said in (
        ("sine", lambda t: 1 + 0.104 * math.sin(200 * math.pi * t), "modulation 10.4 %, SVM 0.4;"),
        ("rectified", lambda t: abs(math.sin(100 * math.pi * t)), "modulation 100 %, SVM 2.57;"),
    ):
        path = tmp_path / f"{name}.csv"
        samples = "\n".join(f"{n / 4000!r},{light(n / 4000)!r}" for n in range(4001))
        path.write_text(f"s,light\n{samples}", encoding="utf-8")
        assert any(said in one for one in told(waveform=path)), told(waveform=path)


def test_41_a_modulation_told_by_depth_and_frequency() -> None:
    stated = ["light_modulation_percent=23.39", "light_modulation_frequency_hz=100"]
    (said,) = [one for one in told(traits=stated) if "sine" in one]
    assert said == "Were the modulation a sine, SVM would be 0.9; European law allows 0.4 at full output."


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("", "no samples"),
        ("s,light\n0,1\nx,1", "no two numbers"),
        ("0,1\n1,1\n1.5,1", "evenly"),
        ("0,1\n0.001,1\n0.002,1", "long"),
        ("\n".join(f"{n / 1000},1" for n in range(1000)), "1000 samples"),
    ],
)
def test_41_a_waveform_that_is_none_is_refused(text: str, what: str, tmp_path: Path) -> None:
    path = tmp_path / "light.csv"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(BadInput, match=what):
        told(waveform=path)


def test_nothing_is_told_that_nobody_asked_or_stated(dataset: Dataset) -> None:
    assert "luminous_flux_lumen" not in dataset.tables["drivers"]["D0001"].traits
    assert told("D0001") == []
