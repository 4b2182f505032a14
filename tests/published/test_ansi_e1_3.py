"""ANSI E1.3, 0-10 V of the entertainment trade: its scope was read, its figures in a public account."""

from __future__ import annotations

import pytest

from tests.published.published import AnyTrial, PublishedValue, Trial, all_trials, drivers, exactly, label
from tests.published.running import ToldByTrial, differences

SOURCE = "ANSI E1.3-2001 (R2021)"
ACCOUNT = "figures in a public account of the standard"
PAIR = {"method": "analog_0_10v"}
SOURCE_2_MA = {**PAIR, "control_current_direction": "sources", "control_current_max_ma": 2.0}

VALUES = (
    PublishedValue(
        "1.1 C",
        "a controller that sources the current cannot control devices that need it sunk",
        SOURCE,
        "scope",
        "verified",
        (
            Trial(
                "dimmable ballasts on a controller that sources",
                "control-currents-same-direction",
                (drivers(2, control_current_direction="sources"),),
                {**PAIR, "control_current_direction": "sources"},
                "fails",
            ),
            Trial(
                "receivers of this standard on its controller",
                "control-currents-same-direction",
                (drivers(2, control_current_direction="sinks"),),
                {**PAIR, "control_current_direction": "sources"},
                "works",
            ),
        ),
    ),
    PublishedValue(
        "A40",
        "0 V is off and 10 V is full",
        SOURCE,
        ACCOUNT,
        "second_hand",
        (
            Trial(
                "off by the signal",
                "off-without-relay",
                (drivers(1, off_by_control_signal=True),),
                {**PAIR, "switches_mains": False},
                "works",
                {"wanted_off_by_control": True},
            ),
            Trial(
                "receiver full at 10 V",
                "full-output-not-reached",
                (drivers(1, control_full_output_v=10),),
                {**PAIR, "control_full_output_v": 10},
                "works",
                demand=exactly(10.0, "v"),
                limit=exactly(10.0, "v"),
                margin_percent=0.0,
            ),
            Trial(
                "controller that ends at 9.9 V",
                "full-output-not-reached",
                (drivers(1, control_full_output_v=10),),
                {**PAIR, "control_full_output_v": 9.9},
                "marginal",
                margin_percent=pytest.approx(-1.0),
            ),
        ),
    ),
    PublishedValue(
        "A44",
        "an active output sources at least 2.0 mA without end",
        SOURCE,
        ACCOUNT,
        "second_hand",
        (
            Trial(
                "receivers that take 2.0 mA together",
                "control-current-above-capacity",
                (drivers(20, control_current_ma=0.1),),
                SOURCE_2_MA,
                "works",
                demand=exactly(2.0, "ma"),
                limit=exactly(2.0, "ma"),
                margin_percent=0.0,
            ),
            Trial(
                "one receiver more",
                "control-current-above-capacity",
                (drivers(21, control_current_ma=0.1),),
                SOURCE_2_MA,
                "fails",
                demand=exactly(pytest.approx(2.1), "ma"),
                limit=exactly(2.0, "ma"),
                margin_percent=pytest.approx(-5.0),
            ),
        ),
    ),
    PublishedValue(
        "A49",
        "20 receivers on one active output, from an input impedance of 100 kohm that is remembered",
        SOURCE,
        "receiver input impedance, not seen again",
        "memory",
        (
            Trial(
                "20 receivers, current from memory",
                "control-current-above-capacity",
                (drivers(20, control_current_ma={"value": 0.1, "basis": "memory"}),),
                SOURCE_2_MA,
                "unproven",
                demand=exactly(None, "ma"),
                limit=exactly(2.0, "ma"),
            ),
            Trial(
                "40 receivers, current from memory",
                "control-current-above-capacity",
                (drivers(40, control_current_ma={"value": 0.1, "basis": "memory"}),),
                SOURCE_2_MA,
                "unproven",
                demand=exactly(None, "ma"),
                limit=exactly(2.0, "ma"),
            ),
        ),
    ),
)


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []
