"""The pulse: worked values, independent references, extremes, the equation of motion, bad input."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import solve_ivp  # type: ignore[import-untyped]

from compat.physics.inrush import (
    DriverInput,
    Loop,
    group_loop,
    pulse,
    relative_peak,
    relative_time_to_peak,
    relative_width,
)
from tests.physics import references
from tests.physics.columns import ROWS, spread

CREST = 230.0 * math.sqrt(2.0)


@pytest.mark.parametrize(
    ("resistance", "inductance", "capacitance", "peak", "width_us", "i2t"),
    [
        (0.4, 796e-6, 100e-6, 103.65, 591.3, 4.764),  # WE-12
        (0.4, 100e-6, 10e-6, 93.49, 66.3, 0.434),  # WE-13
        (0.4, 100e-6, 100e-6, 245.95, 210.7, 9.557),  # WE-14
        (0.4, 100e-6, 1000e-6, 498.9, 704.9, 131.5),  # WE-16
    ],
)
def test_worked_values(
    resistance: float, inductance: float, capacitance: float, peak: float, width_us: float, i2t: float
) -> None:
    found = pulse(CREST, Loop(resistance, inductance, capacitance))
    assert found.peak_a == pytest.approx(peak, rel=5e-3)
    assert found.width_s * 1e6 == pytest.approx(width_us, rel=5e-3)
    assert found.i2t_a2s == pytest.approx(i2t, rel=5e-3)


def test_ten_drivers_give_2_63_times_the_peak_of_one() -> None:
    driver = DriverInput(0.0, 10e-6)
    one, ten = (pulse(CREST, group_loop(0.4, 100e-6, driver, count)) for count in (1, 10))
    assert ten.peak_a / one.peak_a == pytest.approx(2.63, rel=5e-3)  # WE-17
    assert ten.width_s / one.width_s == pytest.approx(3.18, rel=5e-3)


def test_half_sine_shape() -> None:
    found = pulse(100.0, Loop(0.0, 1e-4, 1e-4))
    assert found.i2t_a2s / (found.peak_a**2 * found.width_s) == pytest.approx(0.75, rel=1e-12)  # WE-18
    assert found.peak_a == pytest.approx(100.0)
    assert found.width_s == pytest.approx(2.0 * math.pi / 3.0 * 1e-4, rel=1e-13)


def test_no_inductance_is_the_exponential_pulse() -> None:
    found = pulse(300.0, Loop(10.0, 0.0, 1e-5))
    assert found.peak_a == pytest.approx(30.0, rel=1e-12)
    assert found.width_s == pytest.approx(1e-4 * math.log(2.0), rel=1e-12)
    assert found.time_to_peak_s == 0.0
    assert found.i2t_a2s == pytest.approx(1e-5 * 300.0**2 / 20.0, rel=1e-12)


@pytest.mark.parametrize(
    ("source_ohm", "source_uh", "driver_ohm", "driver_uf", "damping"),
    [
        (0.4, 100, 0, 1, 0.02),
        (0.4, 800, 0.2, 47, 0.07),
        (0.8, 100, 1, 47, 0.62),
        (0.4, 100, 5, 47, 1.85),
        (0.25, 50, 22, 10, 4.98),
        (0.4, 100, 5, 220, 4.00),
        (0.8, 100, 0, 470, 0.87),
        (0.2, 800, 0.1, 1000, 0.17),
    ],
)
def test_damping_of_the_simulated_sets(
    source_ohm: float, source_uh: float, driver_ohm: float, driver_uf: float, damping: float
) -> None:
    driver = DriverInput(driver_ohm, driver_uf * 1e-6)
    found = pulse(CREST, group_loop(source_ohm, source_uh * 1e-6, driver, 1))
    assert found.damping_ratio == pytest.approx(damping, abs=6e-3)


def random_loops() -> dict[str, np.ndarray]:
    generator = np.random.default_rng(11)
    rows = {
        "crest_v": spread(generator, 1.0, 1e4),
        "resistance_ohm": spread(generator, 1e-4, 1e4),
        "inductance_h": spread(generator, 1e-9, 0.1),
        "capacitance_f": spread(generator, 1e-12, 1.0),
    }
    critical = slice(500, 30_000)
    exact = 2.0 * np.sqrt(rows["inductance_h"] / rows["capacitance_f"])
    near = 1.0 + generator.choice([0.0, 1e-12, -1e-12, 1e-6, -1e-6, 1e-3, -1e-3, 0.0051, -0.0051], ROWS)
    rows["resistance_ohm"][critical] = (exact * near)[critical]
    rows["resistance_ohm"][30_000:30_500] = 0.0
    damping = rows["resistance_ohm"] / 2 * np.sqrt(rows["capacitance_f"] / rows["inductance_h"])
    # Above 1e8 the plain form drops the inductance; that end has its own test.
    too_damped = damping > 0.9e8
    rows["resistance_ohm"][too_damped] = exact[too_damped]
    return rows


def test_plain_form_equals_the_reference() -> None:
    rows = {name: values[::20] for name, values in random_loops().items()}
    expected = references.pulse(*rows.values())
    for index, (crest, *loop) in enumerate(zip(*rows.values(), strict=True)):
        found = pulse(float(crest), Loop(*map(float, loop)))
        for role, values in expected.items():
            assert getattr(found, role) == pytest.approx(values[index], rel=1e-9), (role, crest, loop)


def test_where_the_inductance_vanishes_the_pulse_is_an_exponential() -> None:
    generator = np.random.default_rng(12)
    for _ in range(700):
        ohm, farad = (10.0 ** generator.uniform(*ends) for ends in ((0.0, 6.0), (-6.0, 0.0)))
        for henry in (0.0, 10.0 ** generator.uniform(-24.0, -18.0)):
            found = pulse(CREST, Loop(ohm, henry, farad))
            assert found.peak_a == pytest.approx(CREST / ohm, rel=1e-9)
            assert found.width_s == pytest.approx(ohm * farad * math.log(2.0), rel=1e-9)
            assert found.i2t_a2s == pytest.approx(CREST**2 * farad / (2.0 * ohm), rel=1e-9)


def test_a_group_is_the_pulse_of_its_loop() -> None:
    generator = np.random.default_rng(13)
    crest, resistance, inductance, ohm, henry, farad, count = (
        spread(generator, *ends, 2000)
        for ends in (
            (100.0, 500.0), (1e-3, 10.0), (1e-7, 1e-2), (1e-3, 100.0), (1e-9, 1e-3), (1e-8, 1e-3), (1, 999)
        )
    )  # fmt: skip
    count = np.round(count)
    expected = references.pulse(crest, resistance + ohm / count, inductance + henry / count, count * farad)
    for at in range(len(crest)):
        driver = DriverInput(float(ohm[at]), float(farad[at]), float(henry[at]))
        loop = group_loop(float(resistance[at]), float(inductance[at]), driver, int(count[at]))
        found = pulse(float(crest[at]), loop)
        for role, values in expected.items():
            assert getattr(found, role) == pytest.approx(values[at], rel=1e-9), (role, loop)


def test_equation_of_motion() -> None:
    for resistance, inductance, capacitance in ((0.8, 1e-4, 22e-6), (2.0, 1e-4, 1e-4), (12.0, 5e-5, 1e-5)):
        period = math.sqrt(inductance * capacitance)
        crest = solve_ivp(
            lambda _, state, r=resistance, el=inductance, c=capacitance: [
                (CREST - r * state[0] - state[1]) / el,
                state[0] / c,
                state[0] ** 2,
            ],
            (0.0, 60.0 * max(period, resistance * capacitance)),
            [0.0, 0.0, 0.0],
            method="DOP853",
            rtol=1e-11,
            atol=1e-13,
            dense_output=True,
            events=_current_zero,
        )
        found = pulse(CREST, Loop(resistance, inductance, capacitance))
        end = crest.t[-1]
        time = np.linspace(0.0, min(end, 12.0 * found.width_s), 400_001)
        current = crest.sol(time)[0]
        assert found.peak_a == pytest.approx(current.max(), rel=1e-8)
        assert found.time_to_peak_s == pytest.approx(time[np.argmax(current)], rel=1e-3)
        above = time[current >= current.max() / 2.0]
        assert found.width_s == pytest.approx(above[-1] - above[0], rel=1e-4)
        assert found.i2t_a2s == pytest.approx(crest.y[2, -1], rel=1e-8)


def _current_zero(time: float, state: list[float]) -> float:
    return state[0] if time > 0.0 else 1.0


_current_zero.terminal = True  # type: ignore[attr-defined]
_current_zero.direction = -1  # type: ignore[attr-defined]


def test_limits_of_the_relative_functions() -> None:
    assert relative_peak(0.0) == 1.0
    assert relative_peak(1.0) == pytest.approx(1.0 / math.e, rel=1e-14)
    assert relative_time_to_peak(0.0) == pytest.approx(math.pi / 2.0, rel=1e-15)
    assert relative_width(0.0) == pytest.approx(2.0 * math.pi / 3.0, rel=1e-14)
    assert relative_width(1.0) == pytest.approx(2.4463860370301, rel=1e-12)
    assert relative_width(1e8) == pytest.approx(2e8 * math.log(2.0), rel=1e-12)


def test_peak_i2t_and_width_are_monotone() -> None:
    generator = np.random.default_rng(14)
    for _ in range(2000):
        crest = 325.0
        loop = [float(10.0 ** generator.uniform(*ends)) for ends in ((-2, 2), (-6, -3), (-7, -3))]
        more = [value * float(generator.uniform(1.0001, 3.0)) for value in loop]
        base = pulse(crest, Loop(*loop))
        higher = [pulse(crest, Loop(*[*loop[:at], more[at], *loop[at + 1 :]])) for at in range(3)]
        assert higher[0].peak_a < base.peak_a
        assert higher[0].i2t_a2s < base.i2t_a2s
        assert higher[0].width_s > base.width_s
        assert higher[1].peak_a < base.peak_a
        assert higher[1].i2t_a2s <= base.i2t_a2s * (1.0 + 1e-12)
        assert higher[1].width_s > base.width_s
        assert higher[2].peak_a > base.peak_a
        assert higher[2].i2t_a2s > base.i2t_a2s
        assert higher[2].width_s > base.width_s


@pytest.mark.parametrize("bad", [-1.0, math.nan, math.inf, -math.inf, 1e300])
@pytest.mark.parametrize("name", ["resistance_ohm", "inductance_h", "capacitance_f"])
def test_a_value_out_of_range_is_told(name: str, bad: float) -> None:
    good = {"resistance_ohm": 1.0, "inductance_h": 1e-4, "capacitance_f": 1e-5}
    with pytest.raises(ValueError, match=f"{name} is .*allowed is"):
        pulse(CREST, Loop(**{**good, name: bad}))


def test_no_impedance_at_all_is_refused() -> None:
    with pytest.raises(ValueError, match="both 0"):
        pulse(CREST, Loop(0.0, 0.0, 1e-5))
