"""IEC 60929 Annex E, the 1-10 V interface. The standard was not seen; public texts quote it."""

from __future__ import annotations

import pytest

from tests.published.published import AnyTrial, PublishedValue, Trial, all_trials, drivers, exactly, label
from tests.published.running import ToldByTrial, differences

SOURCE = "IEC 60929 Annex E"
PAIR = {"method": "analog_0_10v"}
SINK_50_MA = {**PAIR, "control_current_direction": "sinks", "control_current_max_ma": 50}

VALUES = (
    PublishedValue(
        "A01",
        "one control gear supplies at most 2.0 mA of control current",
        SOURCE,
        "Annex E, quoted in a public forum",
        "second_hand",
        (
            Trial(
                "one gear at the limit",
                "gear-control-current-above-standard-limit",
                (drivers(1, control_current_ma=2.0),),
                PAIR,
                "works",
                demand=exactly(2.0, "ma"),
                limit=exactly(2.0, "ma"),
                margin_percent=0.0,
            ),
            Trial(
                "one gear just past the limit",
                "gear-control-current-above-standard-limit",
                (drivers(1, control_current_ma=2.01),),
                PAIR,
                "marginal",
                demand=exactly(2.01, "ma"),
                limit=exactly(2.0, "ma"),
                margin_percent=pytest.approx(-0.5),
            ),
        ),
    ),
    PublishedValue(
        "W002",
        "a control that sinks 50 mA carries 25 gears at the ceiling of 2.0 mA",
        SOURCE,
        "Annex E; the example with its answer in a public forum that quotes it",
        "second_hand",
        (
            Trial(
                "25 gears",
                "control-current-above-capacity",
                (drivers(25, control_current_ma=2.0),),
                SINK_50_MA,
                "works",
                demand=exactly(50.0, "ma"),
                limit=exactly(50.0, "ma"),
                margin_percent=0.0,
            ),
            Trial(
                "26 gears",
                "control-current-above-capacity",
                (drivers(26, control_current_ma=2.0),),
                SINK_50_MA,
                "fails",
                demand=exactly(52.0, "ma"),
                limit=exactly(50.0, "ma"),
                margin_percent=-4.0,
            ),
        ),
    ),
    PublishedValue(
        "A03",
        "full output at 10 V and above",
        SOURCE,
        "Annex E, told in public texts",
        "second_hand",
        (
            Trial(
                "control reaches 10 V",
                "full-output-not-reached",
                (drivers(1, control_full_output_v=10),),
                {**PAIR, "control_full_output_v": 10},
                "works",
                demand=exactly(10.0, "v"),
                limit=exactly(10.0, "v"),
                margin_percent=0.0,
            ),
            Trial(
                "control above 10 V",
                "full-output-not-reached",
                (drivers(1, control_full_output_v=10),),
                {**PAIR, "control_full_output_v": 11},
                "works",
                margin_percent=10.0,
            ),
            Trial(
                "control just below 10 V",
                "full-output-not-reached",
                (drivers(1, control_full_output_v=10),),
                {**PAIR, "control_full_output_v": 9.99},
                "marginal",
                demand=exactly(9.99, "v"),
                limit=exactly(10.0, "v"),
                margin_percent=pytest.approx(-0.1),
            ),
        ),
    ),
    PublishedValue(
        "1.1 A",
        "the control gear sources the control current and the control sinks it",
        SOURCE,
        "Annex E.2 and the scope of IEC 63128:2019",
        "second_hand",
        (
            Trial(
                "gear sources and control sinks",
                "control-currents-same-direction",
                (drivers(4, control_current_direction="sources"),),
                {**PAIR, "control_current_direction": "sinks"},
                "works",
            ),
            Trial(
                "a sinking load among the gear",
                "control-currents-same-direction",
                (
                    drivers(4, control_current_direction="sources"),
                    drivers(1, "L2", control_current_direction="sinks"),
                ),
                {**PAIR, "control_current_direction": "sinks"},
                "fails",
            ),
        ),
    ),
)


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []
