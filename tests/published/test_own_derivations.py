"""Worked values from textbook formulas, with their answer typed from the worked table."""

from __future__ import annotations

import pytest

from compat.model.verdicts import Verdict
from compat.physics.leakage import capacitive_current_a
from tests.published.published import (
    AnyTrial,
    Drivers,
    PublishedValue,
    RuleTrial,
    Trial,
    all_trials,
    drivers,
    exactly,
    label,
)
from tests.published.running import ToldByTrial, differences

# The capacitor's current by the program's own formula; its figure is then compared with the table's.
SUPPRESSION_MA = 1000.0 * capacitive_current_a(230.0, 50.0, 100e-9)
TWO_WIRE = {"method": "switched", "switching_element": "triac", "off_state_current_ma": SUPPRESSION_MA}
TABLE_MA = exactly(pytest.approx(7.23, abs=0.005), "ma")


def bearing(lamps: int) -> tuple[Drivers, ...]:
    """LED lamps of which each stays dark up to 0.1 mA."""
    return (drivers(lamps, input_character="capacitive", off_state_current_tolerated_ma=0.1),)


def heated(name: str, withstood_a2s: float, verdict: Verdict) -> RuleTrial:
    """The pulse of 25 A for 250 us on a relay that withstands a heating but no such peak."""
    return RuleTrial(
        name,
        "inrush-heating-above-withstood",
        {
            "output.method": "switched",
            "output.switches_mains": True,
            "circuit.input_characters": ["capacitive"],
            "circuit.group_inrush_peak_a": 25,
            "circuit.group_inrush_width_us": 167,  # a half sine stays above half its peak for two thirds
            "circuit.group_inrush_i2t_a2s": 0.078,
            "output.inrush_i2t_max_a2s": withstood_a2s,
            "output.inrush_peak_max_a": 20,
            "output.inrush_width_max_us": 250,
        },
        verdict,
    )


VALUES = (
    PublishedValue(
        "W117",
        "a suppression capacitor of 100 nF passes 7.23 mA at 230 V, 50 Hz",
        "Derived here",
        "I = 2 pi f C U",
        "derived",
        (
            Trial(
                "72 lamps that bear 7.2 mA together",
                "off-state-current-above-tolerated",
                bearing(72),
                {**TWO_WIRE, "needs_neutral": False},
                "fails",
                demand=TABLE_MA,
                limit=exactly(pytest.approx(7.2), "ma"),
            ),
            Trial(
                "73 lamps that bear 7.3 mA together",
                "off-state-current-above-tolerated",
                bearing(73),
                {**TWO_WIRE, "needs_neutral": False},
                "works",
                demand=TABLE_MA,
                limit=exactly(pytest.approx(7.3), "ma"),
            ),
            Trial(
                "a switch fed through a neutral",
                "off-state-current-above-tolerated",
                bearing(1),
                {**TWO_WIRE, "needs_neutral": True},
                None,
            ),
        ),
    ),
    PublishedValue(
        "W116",
        "a half-sine pulse of 25 A and 250 us heats by 0.078 A2s",
        "Derived here",
        "I2 t / 2",
        "derived",
        (
            heated("a relay that withstands 0.078 A2s", 0.078, "works"),
            heated("a relay that withstands 0.077 A2s", 0.077, "fails"),
        ),
    ),
)


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []
