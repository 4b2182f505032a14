"""ANSI C137.1, the 0-10 V interface of drivers. Contents and scope were read; requirements in an article."""

from __future__ import annotations

import pytest

from compat.model.verdicts import Verdict
from tests.published.published import AnyTrial, PublishedValue, Trial, all_trials, drivers, exactly, label
from tests.published.running import ToldByTrial, differences

SOURCE = "ANSI C137.1"
ARTICLE = "article of 2017 on the draft"
PAIR = {"method": "analog_0_10v"}
OFF_WANTED = {"wanted_off_by_control": True}


def full_output(name: str, driver_v: float, output_v: float, verdict: Verdict, margin: object) -> Trial:
    """A driver of a class of full output on an output that reaches a voltage."""
    return Trial(
        name,
        "full-output-not-reached",
        (drivers(1, control_full_output_v=driver_v),),
        {**PAIR, "control_full_output_v": output_v},
        verdict,
        demand=exactly(output_v, "v"),
        limit=exactly(driver_v, "v"),
        margin_percent=margin,
    )


VALUES = (
    PublishedValue(
        "A22",
        "the driver supplies the control current and the control unit sinks it",
        SOURCE,
        ARTICLE,
        "second_hand",
        (
            Trial(
                "control sinks",
                "control-currents-same-direction",
                (drivers(1, control_current_direction="sources"),),
                {**PAIR, "control_current_direction": "sinks"},
                "works",
            ),
            Trial(
                "a driver that sinks on a control that sinks",
                "control-currents-same-direction",
                (drivers(1, control_current_direction="sinks"),),
                {**PAIR, "control_current_direction": "sinks"},
                "fails",
            ),
        ),
    ),
    PublishedValue(
        "A23",
        "the maker of the control unit must declare how much current it can sink",
        SOURCE,
        ARTICLE,
        "second_hand",
        (
            Trial(
                "current not declared",
                "control-current-above-capacity",
                (drivers(10, control_current_ma=1.0),),
                PAIR,
                "unproven",
                demand=exactly(10.0, "ma"),
                limit=exactly(None, "ma"),
            ),
            Trial(
                "current declared",
                "control-current-above-capacity",
                (drivers(10, control_current_ma=1.0),),
                {**PAIR, "control_current_max_ma": 20},
                "works",
                demand=exactly(10.0, "ma"),
                limit=exactly(20.0, "ma"),
                margin_percent=50.0,
            ),
        ),
    ),
    PublishedValue(
        "A25",
        "standby by the signal is an option of the driver",
        SOURCE,
        ARTICLE,
        "second_hand",
        (
            Trial(
                "driver with standby and no relay",
                "off-without-relay",
                (drivers(1, off_by_control_signal=True),),
                {**PAIR, "switches_mains": False},
                "works",
                OFF_WANTED,
            ),
            Trial(
                "one driver of two without standby",
                "off-without-relay",
                (drivers(1, off_by_control_signal=True), drivers(1, "L2", off_by_control_signal=False)),
                {**PAIR, "switches_mains": False},
                "fails",
                OFF_WANTED,
            ),
            Trial(
                "standby not stated",
                "off-without-relay",
                (drivers(1),),
                {**PAIR, "switches_mains": False},
                "unproven",
                OFF_WANTED,
            ),
        ),
    ),
    PublishedValue(
        "A26 8 V",
        "one class of drivers reaches full output by 8 V",
        SOURCE,
        "edition 2022; classes as the columns of a public list name them",
        "second_hand",
        (
            full_output("8 V control", 8, 8, "works", 0.0),
            full_output("just below 8 V", 8, 7.99, "marginal", pytest.approx(-0.125)),
            full_output("8 V driver on a 10 V control", 8, 10, "works", 25.0),
        ),
    ),
    PublishedValue(
        "A26 9 V",
        "one class of drivers reaches full output by 9 V",
        SOURCE,
        "edition 2022; classes as the columns of a public list name them",
        "second_hand",
        (
            full_output("9 V control", 9, 9, "works", 0.0),
            full_output("just below 9 V", 9, 8.991, "marginal", pytest.approx(-0.1)),
            full_output("9 V driver on an 8 V control", 9, 8, "marginal", pytest.approx(-100 / 9)),
        ),
    ),
)


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []
