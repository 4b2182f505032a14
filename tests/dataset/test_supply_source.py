"""The source of a project from a fault current, or from a transformer and its cable."""

from __future__ import annotations

from pathlib import Path

import pytest

from compat.dataset.overlay import Setting, read_setting
from compat.dataset.read import Dataset
from compat.engine.site import quantity
from compat.model.faults import BadInput
from compat.model.values import Interval


def setting_of(dataset: Dataset, folder: Path, text: str) -> Setting:
    path = folder / "project.toml"
    path.write_text(f'schema = "project/1"\n{text}', encoding="utf-8")
    return read_setting(dataset, path, None)


def source_of(setting: Setting) -> tuple[Interval, Interval]:
    traits = setting.source_impedance.traits
    resistance, inductance = quantity(traits, "resistance_ohm"), quantity(traits, "inductance_uh")
    assert resistance is not None
    assert inductance is not None
    return resistance, inductance


def test_fault_current_of_the_reference_impedance(dataset: Dataset, tmp_path: Path) -> None:
    """IEC TR 60725: 0.4 + j0.25 ohm at 230 V 50 Hz is 487.6 A and 795.8 µH (worked value WE-09)."""
    text = "[source]\nprospective_fault_current_a = 487.6\nreactance_ratio = 0.625\n"
    resistance, inductance = source_of(setting_of(dataset, tmp_path, text))
    assert resistance.low == pytest.approx(0.4, rel=1e-3)
    assert resistance.is_exact()
    assert inductance.high == pytest.approx(795.8, rel=1e-3)


def test_an_interval_of_fault_currents_gives_an_interval(dataset: Dataset, tmp_path: Path) -> None:
    narrow = source_of(setting_of(dataset, tmp_path, "[source]\nprospective_fault_current_a = 1000\n"))
    wide = source_of(setting_of(dataset, tmp_path, "[source]\nprospective_fault_current_a = [500, 2000]\n"))
    assert wide[0].low < narrow[0].low <= narrow[0].high < wide[0].high


def test_transformer_and_cable(dataset: Dataset, tmp_path: Path) -> None:
    """630 kVA, 400 V, 4 %, 6.5 kW: Z = 10.16 mΩ and R = 4.16 mΩ a phase (Z = u V²/S, R = P V²/S²)."""
    transformer = (
        "[source]\ntransformer_rated_power_va = 630000\ntransformer_voltage_v = 400\n"
        "transformer_short_circuit_percent = 4\ntransformer_load_loss_w = 6500\n"
    )
    resistance, inductance = source_of(setting_of(dataset, tmp_path, transformer))
    assert resistance.low == pytest.approx(0.00262, rel=2e-3)
    assert inductance.low == pytest.approx(31.2, rel=1e-2)
    longer = source_of(setting_of(dataset, tmp_path, transformer + 'cable = "C0008"\ncable_length_m = 50\n'))
    # 50 m of 10 mm², out and back: 2 x 1.83 ohm/km at 20 °C, less when cold and more when warm.
    assert longer[0].low < 0.00262 + 0.183 < longer[0].high


def test_own_multiples_of_the_breaker(dataset: Dataset, tmp_path: Path) -> None:
    setting = setting_of(dataset, tmp_path, 'breaker = "B0011"\n[breaker_traits]\nhold_multiple = 7\n')
    assert setting.breaker.traits["hold_multiple"].content == Interval(7.0, 7.0)
    assert setting.breaker.traits["hold_multiple"].basis == "declared"
    assert setting.breaker.traits["rated_current_a"].content == Interval(16.0, 16.0)


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("[source]\nprospective_fault_current_a = [900, 200]\n", "low end 900 is above the high end 200"),
        ("[source]\nprospective_fault_current_a = 0\n", "the source cannot be computed"),
        ("[source]\nfault = 3\n", "source"),
        ("[breaker_traits]\nhold = 3\n", "hold_multiple"),
    ],
)
def test_what_misfits_is_told(dataset: Dataset, tmp_path: Path, text: str, sentence: str) -> None:
    with pytest.raises(BadInput) as caught:
        setting_of(dataset, tmp_path, text)
    assert sentence in str(caught.value)
