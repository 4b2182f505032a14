"""Protective-conductor current and continuous load: worked values and both forms."""

from __future__ import annotations

import math

import numpy as np
import pytest

from compat.model.values import Interval
from compat.physics.protective import (
    LOAD_SHARE,
    RESIDUAL,
    continuous_limit_a,
    most_drivers_on_residual,
    protective_current_a,
    residual_limit_a,
    residual_verdict,
)
from tests.physics.columns import ROWS, assert_same, assert_unknown_stays_unknown, computed, one_row, spread


@pytest.mark.parametrize(("each", "most"), [(0.5e-3, 18), (0.7e-3, 12), (3.5e-3, 2)])
def test_drivers_on_30_milliampere(each: float, most: int) -> None:
    assert residual_limit_a(0.03) == pytest.approx(9e-3)  # WE-44
    assert most_drivers_on_residual(each, 0.03) == most
    found = one_row(LOAD_SHARE, load_current_a=each, rated_current_a=30.0, allowed_share=0.3)
    assert found["continuous_limit_a"] == pytest.approx(9.0)


@pytest.mark.parametrize(("rated", "limit"), [(0.1, 0.03), (0.3, 0.09)])
def test_larger_devices(rated: float, limit: float) -> None:
    assert residual_limit_a(rated) == pytest.approx(limit)  # WE-45


def test_thirty_class_1_luminaires() -> None:
    total = protective_current_a([(30, Interval(0.5e-3, 0.5e-3))])
    assert total.high == pytest.approx(15e-3)  # WE-46
    assert residual_verdict(total, 0.03) == "above"
    mixed = protective_current_a([(10, Interval(0.2e-3, 0.5e-3)), (4, Interval(0.1e-3, 1.5e-3))])
    assert mixed.low == pytest.approx(2.4e-3)
    assert mixed.high == pytest.approx(11e-3)
    assert residual_verdict(mixed, 0.03) == "cannot_tell"
    assert residual_verdict(mixed, 0.1) == "within"
    assert protective_current_a([]) == Interval(0.0, 0.0)


@pytest.mark.parametrize(
    ("rated", "share", "limit"), [(20.0, 0.8, 16.0), (15.0, 0.8, 12.0), (16.0, 1.0, 16.0)]
)
def test_continuous_load(rated: float, share: float, limit: float) -> None:
    assert continuous_limit_a(rated, share) == pytest.approx(limit)  # WE-42


def test_queries_equal_the_reference() -> None:
    generator = np.random.default_rng(121)
    leak = np.sort(spread(generator, 1e-5, 1.0, 2 * ROWS).reshape(2, ROWS), axis=0)
    rated, share = spread(generator, 0.001, 30.0), generator.uniform(0.01, 1.0, ROWS)
    leak[1, :100] = (share * rated)[:100]
    leak[0, :100] = 0.0
    asked = {
        "leakage_low_a": leak[0],
        "leakage_high_a": leak[1],
        "residual_current_a": rated,
        "allowed_share": share,
    }
    found = computed(RESIDUAL, asked)
    assert_same(found["residual_limit_a"], share * rated)
    limit = share * rated
    expected = np.where(leak[1] <= limit, "within", np.where(leak[0] > limit, "above", "cannot_tell"))
    assert (found["verdict"] == expected).all()
    assert (expected[:100] == "within").all()
    for at in range(0, ROWS, 307):
        span = Interval(float(leak[0, at]), float(leak[1, at]))
        assert residual_verdict(span, float(rated[at]), float(share[at])) == expected[at]
    load, current = spread(generator, 1e-3, 1e4), spread(generator, 0.1, 1e4)
    shares = computed(
        LOAD_SHARE, {"load_current_a": load, "rated_current_a": current, "allowed_share": share}
    )
    assert_same(shares["continuous_limit_a"], share * current)
    assert_same(shares["load_share"], load / current)
    assert (shares["most_drivers"] == np.floor(share * current / load * (1.0 + 1e-9))).mean() > 0.9999


def test_unknown_stays_unknown() -> None:
    good = {"leakage_low_a": 1e-3, "leakage_high_a": 2e-3, "residual_current_a": 0.03, "allowed_share": 0.3}
    assert one_row(RESIDUAL, **good)["verdict"] == "within"
    assert_unknown_stays_unknown(RESIDUAL, good)
    assert_unknown_stays_unknown(
        LOAD_SHARE, {"load_current_a": 0.5, "rated_current_a": 16.0, "allowed_share": 0.8}
    )
    idle = one_row(LOAD_SHARE, load_current_a=0.0, rated_current_a=16.0, allowed_share=0.8)
    assert idle["most_drivers"] is None


@pytest.mark.parametrize("bad", [-1.0, math.nan, math.inf])
def test_a_value_out_of_range_is_told(bad: float) -> None:
    with pytest.raises(ValueError, match="residual_current_a is"):
        residual_limit_a(bad)
    with pytest.raises(ValueError, match="leakage_each_a"):
        protective_current_a([(1, Interval(bad, bad))])
    with pytest.raises(ValueError, match="driver_count is"):
        protective_current_a([(-1, Interval(0.0, 0.0))])
    with pytest.raises(ValueError, match="leakage_a"):
        residual_verdict(Interval(bad, bad), 0.03)
    with pytest.raises(ValueError, match=r"leakage_each_a is 0.0"):
        most_drivers_on_residual(0.0, 0.03)
    with pytest.raises(ValueError, match="rated_current_a is"):
        continuous_limit_a(bad, 0.8)
