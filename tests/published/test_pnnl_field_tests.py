"""Two articles by authors of the Pacific Northwest National Laboratory on luminaires dimmed by 0-10 V."""

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

PAIR = {"method": "analog_0_10v"}

ANALOG = {"methods": ["analog_0_10v"]}
VALUES = (
    PublishedValue(
        "A31",
        "21 luminaires with claimed 0-10 V dimming answered differently to the same signal",
        "PNNL on 0-10 V dimming, 2020 and 2023",
        "tests of outdoor luminaires",
        "verified",
        (
            Trial(
                "one luminaire type",
                "mixed-driver-types-on-pair",
                (drivers(21, "L1", control_full_output_v=10),),
                PAIR,
                "works",
                demand=exactly(1.0, "count"),
                limit=exactly(1.0, "count"),
                margin_percent=0.0,
            ),
            Trial(
                "two luminaire types, not known to hold one driver",
                "mixed-driver-types-on-pair",
                (drivers(1, "L1", **ANALOG), drivers(1, "L2", **ANALOG)),
                PAIR,
                "marginal",
                demand=Figure(1.0, 2.0, "count"),
                margin_percent=-100.0,
            ),
            Trial(
                "21 luminaire types",
                "mixed-driver-types-on-pair",
                tuple(drivers(1, f"L{number}", **ANALOG) for number in range(21)),
                PAIR,
                "marginal",
                demand=Figure(1.0, 21.0, "count"),
                margin_percent=-2000.0,
            ),
        ),
    ),
)


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []
