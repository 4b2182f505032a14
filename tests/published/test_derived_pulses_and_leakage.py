"""Worked values of our own list: heating of pulses, current through capacitors, and two recalled ones."""

from __future__ import annotations

import pytest

from compat.model.verdicts import Verdict
from compat.physics.leakage import cable_coupled_current_a, capacitive_current_a
from tests.published.mains_parts import behind, inrush
from tests.published.published import (
    AnyTrial,
    PublishedValue,
    RuleTrial,
    Trial,
    all_trials,
    drivers,
    exactly,
    label,
)
from tests.published.running import ToldByTrial, differences

SOURCE = "Derived here"
HEATING = "inrush-heating-above-withstood"
GANGED = {"method": "forward_phase", "max_load_w": 600}


def leakage(volts: float, hertz: float, farad: float, printed_ma: float, lamps: int) -> RuleTrial:
    """A suppression capacitor in a two-wire switch and lamps that bear 0.5 mA each."""
    return RuleTrial(
        f"{printed_ma} mA through {farad * 1e9:g} nF, {lamps} lamps",
        "off-state-current-above-tolerated",
        {
            "output.switching_element": "triac",
            "output.needs_neutral": False,
            "circuit.input_characters": ["capacitive"],
            "output.off_state_current_ma": 1000.0 * capacitive_current_a(volts, hertz, farad),
            "circuit.off_state_current_tolerated_ma": 0.5 * lamps,
        },
        "works" if printed_ma <= 0.5 * lamps else "fails",
        demand=exactly(pytest.approx(printed_ma, rel=1.5e-3), "ma"),
    )


def heating(name: str, pulse_a2s: float, peak_a: float, width_s: float, verdict: Verdict) -> RuleTrial:
    """A pulse that is too long for a relay's peak, against the heating of that peak and its time."""
    return RuleTrial(
        name,
        HEATING,
        {
            "output.method": "switched",
            "output.switches_mains": True,
            "circuit.input_characters": ["capacitive"],
            "circuit.group_inrush_peak_a": peak_a,
            "circuit.group_inrush_width_us": 2e6 * width_s,
            "circuit.group_inrush_i2t_a2s": pulse_a2s,
            "output.inrush_i2t_max_a2s": peak_a**2 * width_s,
            "output.inrush_peak_max_a": peak_a,
            "output.inrush_width_max_us": 1e6 * width_s,
        },
        verdict,
    )


def half_sine(name: str, withstood_a2s: float, verdict: Verdict) -> Trial:
    """A nearly undamped input of 100 A and 200 us, on a relay with this heating."""
    return Trial(
        name,
        HEATING,
        (inrush(1, 100.0, 200.0, 0.01, 300.0),),
        {
            "method": "switched",
            "switches_mains": True,
            "inrush_peak_max_a": 50,
            "inrush_width_max_us": 100,
            "inrush_i2t_max_a2s": withstood_a2s,
        },
        verdict,
        around=behind(0.01, 300.0),
    )


VALUES = (
    PublishedValue(
        "WE-18",
        "a half sine of 100 A, 200 us wide at half its peak, heats by 1.5 A2s",
        SOURCE,
        "0.75 I2 t50",
        "derived",
        (
            half_sine("1.51 A2s withstood", 1.51, "works"),
            half_sine("1.49 A2s withstood", 1.49, "marginal"),
            half_sine("1.38 A2s withstood", 1.38, "fails"),
        ),
    ),
    PublishedValue(
        "WE-20",
        "80 A for 20 ms, 165 A for 20 ms and 800 A for 200 us are 128, 544.5 and 128 A2s",
        SOURCE,
        "I2 t of a pair as a user states it; the pairs themselves are from memory",
        "derived",
        (
            heating("128 A2s on 80 A, 20 ms", 128.0, 80.0, 0.02, "works"),
            heating("128.1 A2s on 80 A, 20 ms", 128.1, 80.0, 0.02, "fails"),
            heating("544.5 A2s on 165 A, 20 ms", 544.5, 165.0, 0.02, "works"),
            heating("545 A2s on 165 A, 20 ms", 545.0, 165.0, 0.02, "fails"),
            heating("128 A2s on 800 A, 200 us", 128.0, 800.0, 2e-4, "works"),
            heating("128.1 A2s on 800 A, 200 us", 128.1, 800.0, 2e-4, "fails"),
        ),
    ),
    PublishedValue(
        "WE-50",
        "10 nF pass 0.723 mA at 230 V 50 Hz and 0.452 mA at 120 V 60 Hz; 100 nF 7.23 and 4.52 mA",
        SOURCE,
        "I = 2 pi f C U",
        "derived",
        (
            leakage(230.0, 50.0, 10e-9, 0.723, 2),
            leakage(230.0, 50.0, 10e-9, 0.723, 1),
            leakage(120.0, 60.0, 10e-9, 0.452, 1),
            leakage(230.0, 50.0, 100e-9, 7.23, 14),
            leakage(120.0, 60.0, 100e-9, 4.52, 10),
            leakage(120.0, 60.0, 100e-9, 4.52, 9),
        ),
    ),
    PublishedValue(
        "M1.5 cable",
        "50 m of cable with 100 to 150 pF/m pass 0.36 to 0.54 mA at 230 V 50 Hz",
        "From memory",
        "capacitance between cores, not seen in a source",
        "memory",
        (
            RuleTrial(
                "a lamp that bears 0.5 mA",
                "off-state-current-above-tolerated",
                {
                    "output.switching_element": "triac",
                    "output.needs_neutral": False,
                    "circuit.input_characters": ["capacitive"],
                    "output.off_state_current_ma": [
                        1000.0 * cable_coupled_current_a(230.0, 50.0, 50.0, per_metre)
                        for per_metre in (100e-12, 150e-12)
                    ],
                    "circuit.off_state_current_tolerated_ma": 0.5,
                },
                "marginal",
            ),
        ),
    ),
    PublishedValue(
        "M1.6 ganged dimmers",
        "a dimmer of 600 W carries about 500 W with one neighbour and 400 W with two",
        "From memory",
        "pattern of one class of device, never a standard value",
        "memory",
        tuple(
            Trial(
                f"{watts} W with {sides} neighbours",
                f"{words}-derating-exceeded",
                (drivers(1, input_power_w=watts),),
                {**GANGED, share: {"value": part, "basis": "memory"}},
                "unproven",
                {"gang_sides": sides},
            )
            for watts, sides, words, share, part in (
                (500, 1, "one-neighbour", "share_one_side", 500 / 600),
                (550, 1, "one-neighbour", "share_one_side", 500 / 600),
                (450, 2, "two-neighbours", "share_two_sides", 400 / 600),
            )
        ),
    ),
)


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []
