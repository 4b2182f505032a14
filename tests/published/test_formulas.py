"""Figures that a formula gives by itself, before a rule is asked."""

from __future__ import annotations

import re
from collections.abc import Callable
from inspect import isfunction

import pytest

from tests.published import formulas
from tests.published.formulas import distortion_of
from tests.published.rows import FOLDER


@pytest.mark.parametrize(
    ("gauge", "millimetres"),
    [
        (10, 2.588), (12, 2.053), (14, 1.628), (16, 1.291), (18, 1.0237), (20, 0.812), (36, 0.1270),
        (-3, 11.684),
    ],
)  # fmt: skip
def test_diameters_of_astm_b258(gauge: int, millimetres: float) -> None:
    assert formulas.gauge_diameter_mm(gauge) == pytest.approx(millimetres, abs=0.0006)


# Used by other formulas, or held to a printed figure below.
OF_OTHERS = {
    "gauge_diameter_mm",
    "distortion_of",
    "power_factor_of",
    "harmonic_power_factor",
    "apparent_power_va",
}


def test_every_formula_is_named_in_a_row() -> None:
    text = "".join(path.read_text(encoding="utf-8") for path in FOLDER.glob("*.toml"))
    named = set(re.findall(r'formula = "(\w+)"', text))
    made = {
        name
        for name, one in vars(formulas).items()
        if isfunction(one) and one.__module__ == formulas.__name__
    }
    assert {name for name in made if not name.startswith("_")} - OF_OTHERS <= named


@pytest.mark.parametrize(
    ("formula", "of", "printed"),
    [
        (formulas.fault_source_ohm, (230.0, 487.6, 0.625, 50.0), 0.4),
        (formulas.fault_source_uh, (230.0, 487.6, 0.625, 50.0), 795.8),
        (formulas.harmonic_power_factor, (1.0, 0.86, 0.61), 0.688),
        (formulas.modulation_percent, (0.8, 0.3), 45.45),
        (formulas.step_current_a, (230.0, 90.0, 10.0), 32.53),
        (formulas.gauge_drop_percent, (18, 1000.0, 1.0, 100.0), 41.9),
    ],
)
def test_figures(formula: Callable[..., float], of: tuple[float, ...], printed: float) -> None:
    assert formula(*of) == pytest.approx(printed, rel=1e-3)


def test_distortion_of_iec_61000_3_2() -> None:
    assert distortion_of({3: 0.86, 5: 0.61}) == pytest.approx(1.054, abs=5e-4)
