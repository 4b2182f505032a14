"""Contacts: worked I2t values, the classes, both forms."""

from __future__ import annotations

import math

import numpy as np
import pytest

from compat.model.values import Interval
from compat.physics.contacts import (
    CONTACT,
    RANGES,
    ZERO_CROSS_PEAK,
    ContactClass,
    contact_verdict,
    late_step_v,
    rectangular_i2t_a2s,
    zero_cross_peak_a,
)
from compat.physics.inrush import Loop, pulse
from compat.physics.inrush_circuit import PulseRange
from tests.physics.columns import ROWS, assert_same, assert_unknown_stays_unknown, computed, one_row, spread

TIN_OXIDE = ContactClass(165.0, 0.02, 544.5)
TUNGSTEN = ContactClass(800.0, 200e-6, 128.0)


def exactly(peak: float, width: float, i2t: float) -> PulseRange:
    return PulseRange(Interval(peak, peak), Interval(width, width), Interval(i2t, i2t))


@pytest.mark.parametrize(("peak", "width", "i2t"), [(80, 0.02, 128), (165, 0.02, 544.5), (800, 200e-6, 128)])
def test_worked_values(peak: float, width: float, i2t: float) -> None:
    assert rectangular_i2t_a2s(peak, width) == pytest.approx(i2t, rel=1e-12)  # WE-20


def test_a_class_counts_only_for_pulses_within_its_width() -> None:
    short, long = exactly(600.0, 150e-6, 40.0), exactly(600.0, 300e-6, 80.0)
    assert contact_verdict(short, [TIN_OXIDE]) == "exceeds"
    assert contact_verdict(short, [TIN_OXIDE, TUNGSTEN]) == "withstands"
    assert contact_verdict(long, [TIN_OXIDE, TUNGSTEN]) == "exceeds"
    assert contact_verdict(exactly(100.0, 5e-3, 40.0), [TUNGSTEN, TIN_OXIDE]) == "withstands"


def test_i2t_alone_can_exceed() -> None:
    assert contact_verdict(exactly(100.0, 150e-6, 128.1), [TUNGSTEN]) == "exceeds"
    assert contact_verdict(exactly(800.0, 200e-6, 128.0), [TUNGSTEN]) == "withstands"


def test_what_cannot_be_told() -> None:
    assert contact_verdict(exactly(1.0, 1e-4, 1e-3), []) == "cannot_tell"
    wide = PulseRange(Interval(100.0, 900.0), Interval(1e-4, 1.5e-4), Interval(1.0, 100.0))
    assert contact_verdict(wide, [TUNGSTEN]) == "cannot_tell"


def test_zero_cross() -> None:
    assert zero_cross_peak_a(230.0, 50.0, 22e-6) == pytest.approx(2.248, rel=1e-3)
    assert late_step_v(230.0, 50.0, 0.5e-3) == pytest.approx(50.9, rel=1e-3)
    at_crest = pulse(325.27, Loop(0.8, 1e-4, 22e-6)).peak_a
    late = pulse(late_step_v(230.0, 50.0, 0.5e-3), Loop(0.8, 1e-4, 22e-6)).peak_a
    assert zero_cross_peak_a(230.0, 50.0, 22e-6) < late < 0.2 * at_crest


def pulse_rows(seed: int) -> dict[str, np.ndarray]:
    generator = np.random.default_rng(seed)

    def pair(low: float, high: float) -> np.ndarray:
        return np.sort(np.stack([spread(generator, low, high), spread(generator, low, high)]), axis=0)

    peak, width, i2t = pair(1.0, 1000.0), pair(1e-5, 0.1), pair(1e-3, 1e4)
    rows = {
        "contact_peak_a": spread(generator, 10.0, 2000.0),
        "contact_width_s": spread(generator, 1e-4, 0.5),
        "contact_i2t_a2s": spread(generator, 1.0, 1e5),
        "peak_low_a": peak[0],
        "peak_high_a": peak[1],
        "width_low_s": width[0],
        "width_high_s": width[1],
        "i2t_low_a2s": i2t[0],
        "i2t_high_a2s": i2t[1],
    }
    for name in ("peak", "width", "i2t"):
        unit = {"peak": "a", "width": "s", "i2t": "a2s"}[name]
        rows[f"{name}_high_{unit}"][:50] = rows[f"contact_{name}_{unit}"][:50]
        rows[f"{name}_low_{unit}"][:50] = 0.0
    return rows


def test_query_equals_the_reference() -> None:
    rows = pulse_rows(91)
    found = computed(CONTACT, rows)["verdict"]
    limits = [rows["contact_peak_a"], rows["contact_width_s"], rows["contact_i2t_a2s"]]
    high, low = (
        np.all([rows[name] <= limit for name, limit in zip(names, limits, strict=True)], axis=0)
        for names in (
            ("peak_high_a", "width_high_s", "i2t_high_a2s"),
            ("peak_low_a", "width_low_s", "i2t_low_a2s"),
        )
    )
    expected = np.where(high, "withstands", np.where(low, "cannot_tell", "exceeds"))
    assert (found == expected).all()
    assert (expected[:50] == "withstands").all()
    assert min((expected == word).sum() for word in ("withstands", "exceeds", "cannot_tell")) > 1000
    for at in range(0, ROWS, 53):
        peak, width, i2t, *ends = (float(column[at]) for column in rows.values())
        plain = contact_verdict(
            PulseRange(Interval(*ends[0:2]), Interval(*ends[2:4]), Interval(*ends[4:6])),
            [ContactClass(peak, width, i2t)],
        )
        assert plain == expected[at]


def test_zero_cross_query_equals_the_reference() -> None:
    generator = np.random.default_rng(92)
    rows = {
        "voltage_v": generator.uniform(1.0, 1000.0, ROWS),
        "frequency_hz": generator.uniform(16.0, 70.0, ROWS),
        "capacitance_f": spread(generator, 1e-9, 1.0),
        "late_s": generator.uniform(0.0, 0.004, ROWS),
    }
    voltage, frequency, capacitance, late = rows.values()
    found = computed(ZERO_CROSS_PEAK, rows)
    crest = voltage * 2.0**0.5
    assert_same(found["zero_cross_peak_a"], crest * capacitance * (2.0 * np.pi * frequency))
    assert_same(found["late_step_v"], crest * np.sin(late * frequency * 2.0 * np.pi))
    for at in range(0, ROWS, 997):
        values = [float(column[at]) for column in rows.values()]
        assert zero_cross_peak_a(*values[:3]) == pytest.approx(found["zero_cross_peak_a"][at], rel=1e-12)
        assert late_step_v(values[0], values[1], values[3]) == pytest.approx(
            found["late_step_v"][at], rel=1e-12
        )


def test_unknown_stays_unknown() -> None:
    good = dict(zip(RANGES, (800.0, 2e-4, 128.0, 10.0, 20.0, 1e-5, 2e-5, 0.1, 0.2), strict=True))
    assert one_row(CONTACT, **good)["verdict"] == "withstands"
    for name in RANGES:
        if "_low_" in name:
            continue
        for bad in (None, math.nan, math.inf, -1.0):
            assert one_row(CONTACT, **{**good, name: bad})["verdict"] == "cannot_tell", (name, bad)
    assert one_row(CONTACT, **{**good, "peak_low_a": 30.0})["verdict"] == "cannot_tell"
    assert_unknown_stays_unknown(
        ZERO_CROSS_PEAK, {"voltage_v": 230.0, "frequency_hz": 50.0, "capacitance_f": 1e-5, "late_s": 1e-4}
    )


@pytest.mark.parametrize("bad", [-1.0, math.nan, math.inf])
def test_a_value_out_of_range_is_told(bad: float) -> None:
    with pytest.raises(ValueError, match="contact_peak_a is"):
        rectangular_i2t_a2s(bad, 0.02)
    with pytest.raises(ValueError, match="peak_a"):
        contact_verdict(exactly(bad, 1e-4, 1.0), [TUNGSTEN])
    with pytest.raises(ValueError, match="contact_width_s"):
        contact_verdict(exactly(1.0, 1e-4, 1.0), [ContactClass(1.0, bad, 1.0)])
    with pytest.raises(ValueError, match="late_s is"):
        late_step_v(230.0, 50.0, bad)
    with pytest.raises(ValueError, match="capacitance_f is"):
        zero_cross_peak_a(230.0, 50.0, bad)
