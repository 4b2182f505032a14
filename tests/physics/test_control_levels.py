"""DALI levels and fades, DMX steps and perception against values printed in public texts.

Published: the table of the standard curve and of the fades in public code that quotes IEC 62386-102;
the figure of the square law in the IESNA Lighting Handbook, 9th edition, quoted in a public paper.
"""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from compat.physics import control_levels as levels
from compat.physics.control_levels import CURVES, Curve


@pytest.mark.parametrize(
    ("level", "percent"),
    [(1, 0.1), (2, 0.103), (10, 0.128), (27, 0.203), (51, 0.392), (60, 0.501), (85, 0.991), (86, 1.018),
     (100, 1.492), (126, 3.035), (127, 3.119), (128, 3.206), (144, 4.962), (170, 10.091), (200, 22.892),
     (229, 50.531), (241, 70.121), (246, 80.378), (253, 97.307), (254, 100.0)],
)  # fmt: skip
def test_standard_curve_as_published(level: int, percent: float) -> None:
    assert levels.dali_light_percent(level) == pytest.approx(percent, abs=0.0006)


@pytest.mark.parametrize(("percent", "level"), [(50, 229), (10, 170), (1, 85), (0.1, 1), (100, 254), (0, 0)])
def test_level_of_a_light(percent: float, level: int) -> None:
    assert levels.dali_level(percent) == level


def test_linear_curve() -> None:
    assert levels.dali_light_percent(1, "linear") == pytest.approx(0.3937, abs=1e-4)
    assert levels.dali_light_percent(127, "linear") == pytest.approx(50.0)
    assert levels.dali_level(50, "linear") == 127


@given(level=st.integers(1, 254), curve=st.sampled_from(["logarithmic", "linear"]))
@settings(max_examples=100)
def test_level_to_light_and_back(level: int, curve: Curve) -> None:
    assert levels.dali_level(levels.dali_light_percent(level, curve), curve) == level


@pytest.mark.parametrize(
    ("code", "seconds", "rate"),
    [(1, 0.707, 357.796), (2, 1.0, 253.0), (3, 1.414, 178.898), (4, 2.0, 126.5), (5, 2.828, 89.449),
     (6, 4.0, 63.25), (7, 5.657, 44.725), (8, 8.0, 31.625), (9, 11.314, 22.362), (10, 16.0, 15.812),
     (11, 22.627, 11.181), (12, 32.0, 7.906), (13, 45.255, 5.591), (14, 64.0, 3.953), (15, 90.51, 2.795)],
)  # fmt: skip
def test_fades_as_published(code: int, seconds: float, rate: float) -> None:
    assert levels.fade_time_s(code) == pytest.approx(seconds, abs=6e-4)
    assert levels.fade_rate_per_s(code) == pytest.approx(rate, abs=6e-4)


def test_extended_fades_run_from_a_tenth_of_a_second_to_16_minutes() -> None:
    assert levels.extended_fade_s(1, 0.1) == 0.1
    assert levels.extended_fade_s(16, 60.0) == 960.0
    with pytest.raises(ValueError, match="multiplier_s is 2"):
        levels.extended_fade_s(1, 2.0)


@pytest.mark.parametrize(
    ("wanted", "extended", "found"),
    [(3.0, False, 2.828), (3.0, True, 3.0), (0.3, False, 0.707), (0.3, True, 0.3), (600, False, 90.51),
     (600, True, 600), (0, True, 0)],
)  # fmt: skip
def test_nearest_fade(wanted: float, extended: bool, found: float) -> None:
    assert levels.nearest_fade_s(wanted, extended) == pytest.approx(found, abs=1e-3)


@pytest.mark.parametrize(
    ("bits", "curve", "percent"),
    [
        (8, "linear", 0.39216),
        (16, "linear", 0.0015259),
        (8, "square_law", 0.0015379),
        (8, "logarithmic", 0.1),
    ],
)
def test_lowest_dmx_step(bits: int, curve: Curve, percent: float) -> None:
    assert levels.dmx_lowest_step_percent(bits, curve) == pytest.approx(percent, rel=1e-4)


@pytest.mark.parametrize("curve", CURVES)
def test_more_bits_never_step_coarser(curve: Curve) -> None:
    steps = [levels.dmx_lowest_step_percent(bits, curve) for bits in range(8, 17)]
    assert steps == sorted(steps, reverse=True)


@pytest.mark.parametrize(("measured", "seen"), [(10, 31.6), (1, 10.0), (0.1, 3.16), (25, 50.0), (100, 100)])
def test_square_law(measured: float, seen: float) -> None:
    assert levels.perceived_percent(measured) == pytest.approx(seen, abs=0.03)
    assert levels.measured_percent(levels.perceived_percent(measured)) == pytest.approx(measured)


@pytest.mark.parametrize(
    ("light", "lightness"), [(10, 37.84), (18.42, 50.0), (1, 8.99), (100, 100), (0.1, 0.903)]
)
def test_cie_lightness(light: float, lightness: float) -> None:
    assert levels.cie_lightness(light) == pytest.approx(lightness, abs=0.01)
    assert levels.light_of_lightness_percent(levels.cie_lightness(light)) == pytest.approx(light)


@pytest.mark.parametrize("level", [0, 255, -1, float("nan")])
def test_levels_out_of_range(level: float) -> None:
    with pytest.raises(ValueError, match="level"):
        levels.dali_light_percent(level)
