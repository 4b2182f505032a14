"""Electrical and system guidelines of DALI AG, read: text of the first version of the interface."""

from __future__ import annotations

import pytest

from tests.published.published import AnyTrial, PublishedValue, Trial, all_trials, drivers, exactly, label
from tests.published.running import ToldByTrial, differences

ELECTRICAL = "DALI AG, electrical guidelines"
SYSTEM = "DALI AG, system guidelines"
BUS = {"method": "dali", "dali_supply_current_ma": 200}
ADDRESSED = {"method": "dali", "dali_addressing": "addressed"}

VALUES = (
    PublishedValue(
        "D08",
        "one control gear takes at most 2 mA from the line",
        ELECTRICAL,
        "current of control gear, IEC 62386-102",
        "verified",
        (
            Trial(
                "2 mA each",
                "gear-current-above-standard-limit",
                (drivers(10, dali_current_ma=2.0),),
                BUS,
                "works",
                demand=exactly(2.0, "ma"),
                limit=exactly(2.0, "ma"),
                margin_percent=0.0,
            ),
            Trial(
                "just above 2 mA each",
                "gear-current-above-standard-limit",
                (drivers(10, dali_current_ma=2.01),),
                BUS,
                "marginal",
                demand=exactly(pytest.approx(2.01), "ma"),
                limit=exactly(2.0, "ma"),
                margin_percent=pytest.approx(-0.5),
            ),
        ),
    ),
    PublishedValue(
        "W057",
        "64 control gears take 128 mA",
        ELECTRICAL,
        "64 times 2 mA",
        "verified",
        (
            Trial(
                "a supply that guarantees 128 mA",
                "bus-current-above-supply",
                (drivers(64, dali_current_ma=2),),
                {**BUS, "dali_supply_current_ma": 128},
                "works",
                demand=exactly(128.0, "ma"),
                limit=exactly(128.0, "ma"),
                margin_percent=0.0,
            ),
            Trial(
                "a supply that guarantees 127 mA",
                "bus-current-above-supply",
                (drivers(64, dali_current_ma=2),),
                {**BUS, "dali_supply_current_ma": 127},
                "fails",
                demand=exactly(128.0, "ma"),
                limit=exactly(127.0, "ma"),
            ),
        ),
    ),
    PublishedValue(
        "D20",
        "64 short addresses for control gear on one line, 0 to 63",
        SYSTEM,
        "number of control gear on one line",
        "verified",
        (
            Trial(
                "64 gears on an output that claims more",
                "addresses-above-limit",
                (drivers(64, dali_addresses=1),),
                {**ADDRESSED, "dali_addresses": 128},
                "works",
                demand=exactly(64.0, "count"),
                limit=exactly(64.0, "count"),
                margin_percent=0.0,
            ),
            Trial(
                "65 gears",
                "addresses-above-limit",
                (drivers(65, dali_addresses=1),),
                {**ADDRESSED, "dali_addresses": 128},
                "fails",
                demand=exactly(65.0, "count"),
                limit=exactly(64.0, "count"),
                margin_percent=-1.5625,
            ),
        ),
    ),
)


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []
