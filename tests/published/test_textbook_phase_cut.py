"""The cut sine of the a.c. voltage controller in textbooks of power electronics.

The formula is a textbook result as remembered; every figure is computed from it, and the physics is then
judged by a rule: what a load receives on a cut supply, as a voltage, as a power, as a current.
"""

from __future__ import annotations

import pytest

from compat.physics.phase_cut import firing_angle_of, rms_share, rms_voltage_v, step_voltage_v
from tests.published.mains_parts import amperes
from tests.published.published import AnyTrial, PublishedValue, RuleTrial, all_trials, exactly, label
from tests.published.running import ToldByTrial, differences

SOURCE = "Textbook, a.c. voltage controller"
FORMULA = "U sqrt(1 - a/pi + sin(2 a)/(2 pi))"


def voltage(supply_v: float, angle: float, printed_v: float, *, works: bool) -> RuleTrial:
    """Gear that works down to 0.9 of 100 V, behind a cut supply of this r.m.s. voltage."""
    return RuleTrial(
        f"{printed_v} V for gear from 90 V",
        "supply-voltage-below-input-range",
        {"supply.voltage_v": rms_voltage_v(supply_v, angle), "circuit.input_voltage_min_v": 100},
        "works" if works else "fails",
        demand=exactly(pytest.approx(printed_v, rel=6e-4), "v"),
        limit=exactly(pytest.approx(90.0), "v"),
    )


def power(angle: float, printed_percent: float) -> RuleTrial:
    """A resistive load of 100 W, dimmed, against a minimum load of 50 W."""
    return RuleTrial(
        f"{printed_percent} % of 100 W",
        "load-below-minimum",
        {
            "output.method": "forward_phase",
            "circuit.input_power_w": 100.0 * rms_share(angle) ** 2,
            "output.min_load_w": 50,
        },
        "works" if printed_percent >= 50.0 else "fails",
        demand=exactly(pytest.approx(printed_percent, rel=2e-3), "w"),
        limit=exactly(50.0, "w"),
    )


def step(angle: float, printed_v: float, *, works: bool) -> RuleTrial:
    """The step of 230 V through 10 ohm, against a repetitive peak of 20 A."""
    return RuleTrial(
        f"{printed_v} V through 10 ohm",
        "repetitive-peak-above-withstood",
        {
            "output.method": "forward_phase",
            "circuit.input_characters": ["capacitive"],
            "circuit.load_types": ["integral_lamp"],
            "output.listed_load_types": ["incandescent"],
            "circuit.forward_phase_peak_a": step_voltage_v(230.0, angle) / 10.0,
            "output.repetitive_peak_max_a": 20,
        },
        "works" if works else "fails",
        demand=amperes(pytest.approx(printed_v / 10.0, abs=0.006)),
    )


VALUES = (
    PublishedValue(
        "WE-01",
        "120 V cut at 90 degrees: 84.85 V, half the power, power factor 0.707",
        SOURCE,
        FORMULA,
        "derived",
        (
            voltage(120.0, 90.0, 84.85, works=False),
            power(90.0, 50.0),
            RuleTrial(
                "a transformer of 50 W at that power factor",
                "apparent-power-above-rating",
                {
                    "output.method": "forward_phase",
                    "circuit.input_characters": ["inductive"],
                    # The power factor of a resistor behind a cut is the r.m.s. share of the voltage.
                    "circuit.apparent_power_va": 50.0 / rms_share(90.0),
                    "output.max_apparent_power_va": 70,
                },
                "fails",
                demand=exactly(pytest.approx(50.0 / 0.707, rel=1e-3), "va"),
            ),
        ),
    ),
    PublishedValue(
        "WE-02",
        "cut at 45 degrees: 0.9535 of the voltage, 90.9 % of the power; 219.3 V of 230 V",
        SOURCE,
        FORMULA,
        "derived",
        (voltage(230.0, 45.0, 219.3, works=True), voltage(100.0, 45.0, 95.35, works=True), power(45.0, 90.9)),
    ),
    PublishedValue(
        "WE-04",
        "cut at 120 degrees: 0.4422 of the voltage, 19.55 % of the power; 101.7 V of 230 V",
        SOURCE,
        FORMULA,
        "derived",
        (
            voltage(230.0, 120.0, 101.7, works=True),
            voltage(200.0, 120.0, 88.44, works=False),
            power(120.0, 19.55),
        ),
    ),
    PublishedValue(
        "WE-05",
        "30 degrees of conduction: 0.1698 of the voltage, 2.88 % of the power; 20.38 V of 120 V",
        SOURCE,
        FORMULA,
        "derived",
        (
            voltage(120.0, firing_angle_of(30.0), 20.38, works=False),
            voltage(600.0, 150.0, 101.9, works=True),
            power(firing_angle_of(30.0), 2.88),
        ),
    ),
    PublishedValue(
        "WE-06",
        "step at 230 V on forward phase: 325.3 V at 90 degrees, 230.0 V at 45, 162.6 V at 30",
        SOURCE,
        "sqrt(2) U sin(a)",
        "derived",
        (step(90.0, 325.3, works=False), step(45.0, 230.0, works=False), step(30.0, 162.6, works=True)),
    ),
)


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []
