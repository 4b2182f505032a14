"""An open course for lighting technicians in the United States, and an encyclopaedia, on 0-10 V."""

from __future__ import annotations

import pytest

from tests.published.published import (
    AnyTrial,
    Figure,
    PublishedValue,
    Trial,
    all_trials,
    drivers,
    exactly,
    label,
)
from tests.published.running import ToldByTrial, differences

COURSE = "Open US course, 0-10 V dimming"
PAIR = {"method": "analog_0_10v"}
SINK_50_MA = {**PAIR, "control_current_direction": "sinks", "control_current_max_ma": 50}

VALUES = (
    PublishedValue(
        "W001",
        "a control that sinks 50 mA carries 100 drivers of 0.5 mA",
        COURSE,
        "worked example of the number of drivers on one control",
        "second_hand",
        (
            Trial(
                "100 drivers",
                "control-current-above-capacity",
                (drivers(100, control_current_ma=0.5),),
                SINK_50_MA,
                "works",
                demand=exactly(50.0, "ma"),
                limit=exactly(50.0, "ma"),
                margin_percent=0.0,
            ),
            Trial(
                "101 drivers",
                "control-current-above-capacity",
                (drivers(101, control_current_ma=0.5),),
                SINK_50_MA,
                "fails",
                demand=exactly(50.5, "ma"),
                limit=exactly(50.0, "ma"),
                margin_percent=-1.0,
            ),
        ),
    ),
    PublishedValue(
        "A13 0.1 to 2 mA",
        "one driver usually sources 0.1 mA to 2 mA",
        COURSE,
        "control current of one driver",
        "second_hand",
        (
            Trial(
                "the whole range keeps to the limit of one gear",
                "gear-control-current-above-standard-limit",
                (drivers(10, control_current_ma=[0.1, 2.0]),),
                PAIR,
                "works",
                demand=Figure(pytest.approx(0.1), 2.0, "ma"),
                limit=exactly(2.0, "ma"),
            ),
            Trial(
                "26 drivers anywhere in the range",
                "control-current-above-capacity",
                (drivers(26, control_current_ma=[0.1, 2.0]),),
                SINK_50_MA,
                "marginal",
                demand=Figure(pytest.approx(2.6), 52.0, "ma"),
                limit=exactly(50.0, "ma"),
                margin_percent=-4.0,
            ),
        ),
    ),
    PublishedValue(
        "A13 1 mA",
        "one driver typically sources about 1 mA",
        "Wikipedia, 0-10 V lighting control",
        "fan-out",
        "second_hand",
        (
            Trial(
                "50 drivers on 50 mA",
                "control-current-above-capacity",
                (drivers(50, control_current_ma=1.0),),
                SINK_50_MA,
                "works",
                demand=exactly(50.0, "ma"),
                margin_percent=0.0,
            ),
            Trial(
                "51 drivers on 50 mA",
                "control-current-above-capacity",
                (drivers(51, control_current_ma=1.0),),
                SINK_50_MA,
                "fails",
                demand=exactly(51.0, "ma"),
                margin_percent=-2.0,
            ),
        ),
    ),
    PublishedValue(
        "A06",
        "a shorted pair gives the lowest level and not off: a relay is needed to turn the light off",
        COURSE,
        "switching of 0-10 V circuits; failure signs",
        "second_hand",
        (
            Trial(
                "no relay",
                "off-without-relay",
                (drivers(6, off_by_control_signal=False),),
                {**PAIR, "switches_mains": False},
                "fails",
                {"wanted_off_by_control": True},
            ),
            Trial(
                "a relay in the supply",
                "off-without-relay",
                (drivers(6, off_by_control_signal=False),),
                {**PAIR, "switches_mains": True},
                "works",
                {"wanted_off_by_control": True},
            ),
        ),
    ),
)


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []
