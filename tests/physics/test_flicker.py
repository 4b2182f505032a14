"""Flicker: published limits and values, both forms."""

from __future__ import annotations

import math

import numpy as np
import pytest

from compat.physics.flicker import (
    FLICKER,
    PRACTICES,
    modulation_limit_percent,
    modulation_percent,
    practices_met,
    stroboscopic_visibility,
    visibility_threshold,
)
from tests.physics.columns import ROWS, assert_same, assert_unknown_stays_unknown, computed, one_row, spread


@pytest.mark.parametrize(
    ("practice", "hertz", "percent"),
    [
        ("rp1", 100.0, 8.0),  # WE-58
        ("rp1", 120.0, 9.6),
        ("rp2", 100.0, 3.33),
        ("rp2", 120.0, 4.0),
        ("rp1", 89.9, 2.2475),  # WE-60
        ("rp1", 90.0, 7.2),
        ("rp1", 1250.0, 100.0),
        ("rp1", 1251.0, None),
        ("rp1", 3001.0, None),
        ("rp1", 1200.0, 96.0),  # WE-61
        ("rp2", 2441.0, 81.3),
        ("rp2", 3001.0, None),
        ("rp2", 89.9, 0.899),
        ("rp3", 89.9, 5.0),
        ("rp3", 90.0, None),
    ],
)
def test_limits(practice: str, hertz: float, percent: float | None) -> None:
    found = modulation_limit_percent(practice, hertz)  # type: ignore[arg-type]
    assert found == (None if percent is None else pytest.approx(percent, rel=2e-3))


def test_full_modulation_by_pulse_width() -> None:
    assert "rp1" in practices_met(1250.0, 100.0)  # WE-57
    assert "rp1" not in practices_met(1200.0, 100.0)
    assert practices_met(2441.0, 100.0) == ("rp1", "rp3")
    assert practices_met(3001.0, 100.0) == ("rp1", "rp2", "rp3")
    assert practices_met(100.0, 8.0) == ("rp3",)
    assert practices_met(100.0, 7.99) == ("rp1", "rp3")
    assert practices_met(80.0, 5.0) == ()


def test_modulation_of_two_levels() -> None:
    assert modulation_percent(0.8, 0.3) == pytest.approx(45.5, rel=5e-3)  # WE-62
    assert modulation_percent(1.0, 0.0) == 100.0
    assert modulation_percent(3.0, 3.0) == 0.0


@pytest.mark.parametrize(
    ("hertz", "percents", "full"),
    [(100.0, (10.40, 23.39, 25.99), 3.847), (120.0, (10.85, 24.41, 27.13), 3.686)],
)
def test_visibility_of_a_sine(hertz: float, percents: tuple[float, ...], full: float) -> None:
    for percent, visibility in zip(percents, (0.4, 0.9, 1.0), strict=True):
        found = stroboscopic_visibility([(hertz, percent / 100.0)])  # WE-64
        assert found == pytest.approx(visibility, rel=5e-3)
    assert stroboscopic_visibility([(hertz, 1.0)]) == pytest.approx(full, rel=5e-3)  # WE-65


@pytest.mark.parametrize(("hertz", "visibility"), [(100.0, 2.566), (120.0, 2.458)])
def test_visibility_of_a_rectified_sine(hertz: float, visibility: float) -> None:
    components = [(hertz * n, 2.0 / (4.0 * n**2 - 1.0)) for n in range(1, 30)]
    assert stroboscopic_visibility(components) == pytest.approx(visibility, rel=5e-3)  # WE-66


def test_components_by_a_transform_of_the_waveform() -> None:
    time = np.arange(20_000) / 20_000.0
    light = 1.0 + 0.4 * np.sin(2 * np.pi * 100 * time) + 0.1 * np.sin(2 * np.pi * 600 * time)
    transform = 2.0 * np.abs(np.fft.rfft(light)) / np.abs(np.fft.rfft(light)[0])
    components = [(float(hertz), float(transform[hertz])) for hertz in range(1, 2001)]
    expected = ((0.4 / visibility_threshold(100.0)) ** 3.7 + (0.1 / visibility_threshold(600.0)) ** 3.7) ** (
        1 / 3.7
    )
    assert stroboscopic_visibility(components) == pytest.approx(expected, rel=1e-9)


def test_what_is_above_2000_hertz_does_not_count() -> None:
    assert stroboscopic_visibility([(2001.0, 2.0)]) == 0.0
    assert stroboscopic_visibility([]) == 0.0


def test_query_equals_the_reference() -> None:
    generator = np.random.default_rng(141)
    hertz, percent = spread(generator, 1.0, 1e5), generator.uniform(0.0, 100.0, ROWS)
    hertz[:8] = [89.999, 90.0, 1250.0, 1250.001, 3000.0, 3000.001, 2000.0, 2000.001]
    percent[8:20] = 100.0
    found = computed(FLICKER, {"frequency_hz": hertz, "modulation_percent": percent})
    rp1 = np.where(hertz < 90, 0.025 * hertz, np.where(hertz <= 1250, 0.08 * hertz, 100.0))
    rp2 = np.where(hertz < 90, 0.01 * hertz, np.where(hertz <= 3000, 0.0333 * hertz, 100.0))
    rp3 = np.where(hertz < 90, 5.0, 100.0)
    for practice, limit in zip(PRACTICES, (rp1, rp2, rp3), strict=True):
        assert_same(found[f"{practice}_limit_percent"], np.minimum(limit, 100.0))
        met = (percent < limit) | (limit >= 100.0)
        assert (found[f"meets_{practice}"] == met).all()
    threshold = 2.865e-5 * np.exp(1.543 * np.log(hertz)) + 0.225
    visibility = np.where(hertz <= 2000.0, percent / 100.0 / threshold, 0.0)
    assert_same(found["stroboscopic_visibility"], visibility)
    for at in range(0, ROWS, 499):
        named = practices_met(float(hertz[at]), float(percent[at]))
        assert named == tuple(one for one in PRACTICES if found[f"meets_{one}"][at])
        plain = stroboscopic_visibility([(float(hertz[at]), float(percent[at]) / 100.0)])
        assert plain == pytest.approx(visibility[at], rel=1e-9)


def test_unknown_stays_unknown() -> None:
    assert_unknown_stays_unknown(FLICKER, {"frequency_hz": 100.0, "modulation_percent": 20.0})
    lost = one_row(FLICKER, frequency_hz=5000.0, modulation_percent=None)
    assert all(lost[f"meets_{one}"] is None for one in PRACTICES)


@pytest.mark.parametrize("bad", [-1.0, math.nan, math.inf])
def test_a_value_out_of_range_is_told(bad: float) -> None:
    with pytest.raises(ValueError, match="frequency_hz is"):
        modulation_limit_percent("rp1", bad)
    with pytest.raises(ValueError, match="practice is 'rp4'"):
        modulation_limit_percent("rp4", 100.0)  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="modulation_percent is"):
        practices_met(100.0, bad)
    with pytest.raises(ValueError, match="highest is"):
        modulation_percent(bad, 0.0)
    with pytest.raises(ValueError, match=r"lowest is 2.0, above highest 1.0"):
        modulation_percent(1.0, 2.0)
    with pytest.raises(ValueError, match="amplitude is"):
        stroboscopic_visibility([(100.0, bad)])
    with pytest.raises(ValueError, match="frequency_hz is"):
        visibility_threshold(2001.0)
