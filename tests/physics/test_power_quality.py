"""Power factor, distortion, harmonic limits: worked values and both forms."""

from __future__ import annotations

import math

import numpy as np
import pytest

from compat.physics.power_quality import (
    POWER,
    POWER_FACTOR,
    apparent_power_va,
    class_c_limits,
    distortion_of,
    input_current_a,
    milliampere_limit_a,
    power_factor_of,
)
from tests.physics.columns import ROWS, assert_same, assert_unknown_stays_unknown, computed, spread


def test_distortion_of_the_two_harmonics() -> None:
    distortion = distortion_of({3: 0.86, 5: 0.61})
    assert distortion == pytest.approx(1.054, rel=5e-3)  # WE-49
    assert power_factor_of(1.0, distortion) == pytest.approx(0.688, rel=5e-3)


@pytest.mark.parametrize(("order", "milliampere"), [(3, 68), (5, 38), (7, 20), (9, 10), (11, 7), (13, 5.92)])
def test_column_of_twenty_watts(order: int, milliampere: float) -> None:
    limit = milliampere_limit_a(order, 20.0)
    assert limit is not None
    assert limit * 1000.0 == pytest.approx(milliampere, rel=5e-3)  # WE-48


def test_orders_without_a_limit() -> None:
    assert milliampere_limit_a(2, 20.0) is None
    assert milliampere_limit_a(40, 20.0) is None
    assert class_c_limits(4.9, 230.0, 1.0, {3: 0.9}) == []
    assert class_c_limits(40.0, 120.0, 1.0, {3: 0.9}) == []


def test_above_25_watts() -> None:
    found = class_c_limits(46.0, 230.0, 1.0, {3: 0.2, 4: 0.5, 5: 0.11, 13: 0.03})
    assert [one.order for one in found] == [3, 5, 13]
    factor = power_factor_of(1.0, distortion_of({3: 0.2, 4: 0.5, 5: 0.11, 13: 0.03}))
    assert found[0].limit_a == pytest.approx(0.27 * factor * 0.2)
    assert [one.within for one in found] == [True, False, True]
    older = class_c_limits(46.0, 230.0, 1.0, {3: 0.2}, third_order_percent=30.0)
    assert older[0].limit_a > class_c_limits(46.0, 230.0, 1.0, {3: 0.2})[0].limit_a


def test_between_5_and_25_watts() -> None:
    found = class_c_limits(20.0, 230.0, 1.0, {3: 0.7, 5: 0.5})
    assert found[0].limit_a == pytest.approx(0.068)
    assert found[0].current_a == pytest.approx(0.7 * 20.0 / 230.0)
    assert [one.within for one in found] == [True, False]


def test_current_of_a_driver() -> None:
    assert apparent_power_va(50.0, 0.5) == 100.0
    assert input_current_a(50.0, 0.5, 230.0) == pytest.approx(100.0 / 230.0)


def test_queries_equal_the_reference() -> None:
    generator = np.random.default_rng(131)
    watts, factor = spread(generator, 1e-3, 1e6), generator.uniform(0.01, 1.0, ROWS)
    volts = spread(generator, 1.0, 1000.0)
    found = computed(POWER, {"active_power_w": watts, "power_factor": factor, "voltage_v": volts})
    assert_same(found["apparent_power_va"], watts / factor)
    assert_same(found["input_current_a"], watts / (factor * volts))
    displacement, distortion = generator.uniform(0.0, 1.0, ROWS), generator.uniform(0.0, 10.0, ROWS)
    displacement[:2], distortion[:2] = [0.0, 1.0], [10.0, 0.0]
    total = computed(POWER_FACTOR, {"displacement_factor": displacement, "distortion": distortion})
    assert_same(total["power_factor"], displacement / np.hypot(1.0, distortion))
    for at in range(0, ROWS, 499):
        plain = power_factor_of(float(displacement[at]), float(distortion[at]))
        assert plain == pytest.approx(total["power_factor"][at], rel=1e-12)
        current = input_current_a(float(watts[at]), float(factor[at]), float(volts[at]))
        assert current == pytest.approx(found["input_current_a"][at], rel=1e-12)


def test_unknown_stays_unknown() -> None:
    assert_unknown_stays_unknown(POWER, {"active_power_w": 10.0, "power_factor": 0.9, "voltage_v": 230.0})
    assert_unknown_stays_unknown(POWER_FACTOR, {"displacement_factor": 0.9, "distortion": 0.3})


@pytest.mark.parametrize("bad", [-1.0, math.nan, math.inf])
def test_a_value_out_of_range_is_told(bad: float) -> None:
    with pytest.raises(ValueError, match="active_power_w is"):
        apparent_power_va(bad, 0.9)
    with pytest.raises(ValueError, match="power_factor is"):
        apparent_power_va(10.0, 0.0)
    with pytest.raises(ValueError, match="voltage_v is"):
        input_current_a(10.0, 0.9, bad)
    with pytest.raises(ValueError, match="distortion is"):
        power_factor_of(1.0, bad)
    with pytest.raises(ValueError, match="harmonic 3 is"):
        distortion_of({3: bad})
    with pytest.raises(ValueError, match="order is 41"):
        distortion_of({41: 0.1})
    with pytest.raises(ValueError, match="third_order_percent is"):
        class_c_limits(40.0, 230.0, 1.0, {}, third_order_percent=bad)
