"""IEC 62386-101, the DALI line: 250 mA, as the association prints it in two of its own texts."""

from __future__ import annotations

import pytest

from tests.published.published import AnyTrial, PublishedValue, Trial, all_trials, drivers, exactly, label
from tests.published.running import ToldByTrial, differences

SOURCE = "IEC 62386-101"
DALI_300_MA = {"method": "dali", "dali_supply_current_ma": 300}

VALUES = (
    PublishedValue(
        "D07",
        "all supplies of one line together give at most 250 mA",
        SOURCE,
        "in DALI AG, electrical guidelines, and DALI Alliance, technical note on the length of the cable",
        "verified",
        (
            Trial(
                "250 mA taken, more guaranteed",
                "bus-current-above-supply",
                (drivers(100, dali_current_ma=2.5),),
                DALI_300_MA,
                "works",
                demand=exactly(250.0, "ma"),
                limit=exactly(250.0, "ma"),
                margin_percent=0.0,
            ),
            Trial(
                "251 mA taken",
                "bus-current-above-supply",
                (drivers(100, dali_current_ma=2.51),),
                DALI_300_MA,
                "fails",
                demand=exactly(pytest.approx(251.0), "ma"),
                limit=exactly(250.0, "ma"),
                margin_percent=pytest.approx(-0.4),
            ),
        ),
    ),
    PublishedValue(
        "D29",
        "in pure broadcast only the current counts: 125 gears of 2 mA",
        "Derived here",
        "250 mA of one line divided by 2 mA of one control gear",
        "derived",
        (
            Trial(
                "125 gears",
                "bus-current-above-supply",
                (drivers(125, dali_current_ma=2),),
                {**DALI_300_MA, "dali_addressing": "broadcast"},
                "works",
                demand=exactly(250.0, "ma"),
                margin_percent=0.0,
            ),
            Trial(
                "126 gears",
                "bus-current-above-supply",
                (drivers(126, dali_current_ma=2),),
                {**DALI_300_MA, "dali_addressing": "broadcast"},
                "fails",
                demand=exactly(252.0, "ma"),
                margin_percent=-0.8,
            ),
            Trial(
                "125 gears in broadcast need no addresses",
                "addresses-above-limit",
                (drivers(125, dali_addresses=1),),
                {**DALI_300_MA, "dali_addressing": "broadcast", "dali_addresses": 64},
                None,
            ),
        ),
    ),
    PublishedValue(
        "W058",
        "64 gears of 2 mA leave 122 mA of 250 mA",
        "Derived here",
        "250 mA less 64 times 2 mA",
        "derived",
        (
            Trial(
                "64 gears on 250 mA",
                "bus-current-above-supply",
                (drivers(64, dali_current_ma=2),),
                {"method": "dali", "dali_supply_current_ma": 250},
                "works",
                demand=exactly(128.0, "ma"),
                limit=exactly(250.0, "ma"),
                margin_percent=pytest.approx(100 * 122 / 250),
            ),
            Trial(
                "61 members of 2 mA fill the 122 mA",
                "bus-current-above-supply",
                (drivers(64, dali_current_ma=2), drivers(61, "panel", dali_current_ma=2)),
                {"method": "dali", "dali_supply_current_ma": 250},
                "works",
                demand=exactly(250.0, "ma"),
                margin_percent=0.0,
            ),
            Trial(
                "62 members are one too many",
                "bus-current-above-supply",
                (drivers(64, dali_current_ma=2), drivers(62, "panel", dali_current_ma=2)),
                {"method": "dali", "dali_supply_current_ma": 250},
                "fails",
                demand=exactly(252.0, "ma"),
                margin_percent=-0.8,
            ),
        ),
    ),
)


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []
