"""Flicker: published limits."""

from __future__ import annotations

import math

import pytest

from compat.physics.flicker import PRACTICES, modulation_limit_percent


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


@pytest.mark.parametrize(
    ("hertz", "percent", "met"),
    [
        (1250.0, 100.0, ("rp1", "rp3")),  # WE-57
        (1200.0, 100.0, ("rp3",)),
        (2441.0, 100.0, ("rp1", "rp3")),
        (3001.0, 100.0, ("rp1", "rp2", "rp3")),
        (100.0, 8.0, ("rp3",)),
        (100.0, 7.99, ("rp1", "rp3")),
        (80.0, 5.0, ()),
    ],
)
def test_practices_met_by_a_modulation(hertz: float, percent: float, met: tuple[str, ...]) -> None:
    """A limit of 100 % or more is none, as no modulation exceeds 100 %."""
    limits = {practice: modulation_limit_percent(practice, hertz) for practice in PRACTICES}
    found = [one for one, limit in limits.items() if limit is None or limit >= 100.0 or percent < limit]
    assert tuple(found) == met


@pytest.mark.parametrize("bad", [-1.0, math.nan, math.inf])
def test_a_value_out_of_range_is_told(bad: float) -> None:
    with pytest.raises(ValueError, match="frequency_hz is"):
        modulation_limit_percent("rp1", bad)
    with pytest.raises(ValueError, match="practice is 'rp4'"):
        modulation_limit_percent("rp4", 100.0)  # type: ignore[arg-type]
