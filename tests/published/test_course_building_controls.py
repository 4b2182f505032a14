"""An open course for electricians in the United Kingdom, lighting section, citing BS 7671 and IEC 62386."""

from __future__ import annotations

import pytest

from tests.published.published import AnyTrial, PublishedValue, Trial, all_trials, drivers, exactly, label
from tests.published.running import ToldByTrial, differences

COURSE = "Open UK course, lighting controls"
PAIR = {"method": "analog_0_10v"}
ADDRESSED = {"method": "dali", "dali_addressing": "addressed", "dali_addresses": 64}

VALUES = (
    PublishedValue(
        "1.5 insulation",
        "a 1-10 V pair with basic insulation counts as mains wiring",
        COURSE,
        "lighting section, 1-10 V",
        "second_hand",
        (
            Trial(
                "run as mains",
                "basic-insulated-gear-on-selv-pair",
                (drivers(8, methods=["analog_0_10v"], control_insulation="basic"),),
                {**PAIR, "control_insulation": "basic"},
                "works",
                {"control_pair_selv": False},
            ),
            Trial(
                "run as SELV",
                "basic-insulated-gear-on-selv-pair",
                (drivers(8, methods=["analog_0_10v"], control_insulation="basic"),),
                {**PAIR, "control_insulation": "basic"},
                "hazard",
                {"control_pair_selv": True},
            ),
        ),
    ),
    PublishedValue(
        "1.5 worst member",
        "one gear with basic insulation makes the whole pair part of the mains",
        "Derived here",
        "from the two cases of insulation of the same course",
        "derived",
        (
            Trial(
                "all SELV",
                "basic-insulated-gear-on-selv-pair",
                (drivers(7, methods=["analog_0_10v"], control_insulation="selv"),),
                {**PAIR, "control_insulation": "selv"},
                "works",
                {"control_pair_selv": True},
            ),
            Trial(
                "one of eight with basic insulation",
                "basic-insulated-gear-on-selv-pair",
                (
                    drivers(7, methods=["analog_0_10v"], control_insulation="selv"),
                    drivers(1, "L2", methods=["analog_0_10v"], control_insulation="basic"),
                ),
                {**PAIR, "control_insulation": "selv"},
                "hazard",
                {"control_pair_selv": True},
            ),
        ),
    ),
    PublishedValue(
        "1.5 grouping",
        "on 1-10 V the wiring makes the groups: one pair for each group dimmed by itself",
        COURSE,
        "lighting section, 1-10 V",
        "second_hand",
        (
            Trial(
                "one luminaire on the pair",
                "individual-control-from-one-channel",
                (drivers(1),),
                PAIR,
                "works",
                {"wanted_individual_control": True},
                demand=exactly(1.0, "count"),
                margin_percent=0.0,
            ),
            Trial(
                "two luminaires on the pair",
                "individual-control-from-one-channel",
                (drivers(2),),
                PAIR,
                "fails",
                {"wanted_individual_control": True},
                demand=exactly(2.0, "count"),
                margin_percent=-100.0,
            ),
        ),
    ),
    PublishedValue(
        "D26",
        "a device takes one address for each of its outputs that is controlled by itself",
        COURSE,
        "lighting section, DALI",
        "second_hand",
        (
            Trial(
                "16 devices of four outputs",
                "addresses-above-limit",
                (drivers(16, dali_addresses=4),),
                ADDRESSED,
                "works",
                demand=exactly(64.0, "count"),
                limit=exactly(64.0, "count"),
                margin_percent=0.0,
            ),
            Trial(
                "and one device of one output",
                "addresses-above-limit",
                (drivers(16, dali_addresses=4), drivers(1, "L2", dali_addresses=1)),
                ADDRESSED,
                "fails",
                demand=exactly(65.0, "count"),
                margin_percent=-1.5625,
            ),
        ),
    ),
    PublishedValue(
        "W060",
        "64 gears of 2 mA, 6 sensors of 6 mA and 4 keypads of 10 mA take 204 mA, more than 200 mA guaranteed",
        COURSE,
        "lighting section, DALI: sum of the currents against the guaranteed current",
        "derived",
        (
            Trial(
                "all members of the line",
                "bus-current-above-supply",
                (
                    drivers(64, "control gear", dali_current_ma=2),
                    drivers(6, "sensor", dali_current_ma=6),
                    drivers(4, "keypad", dali_current_ma=10),
                ),
                {"method": "dali", "dali_supply_current_ma": 200},
                "fails",
                demand=exactly(204.0, "ma"),
                limit=exactly(200.0, "ma"),
                margin_percent=-2.0,
            ),
            Trial(
                "the gear alone",
                "bus-current-above-supply",
                (drivers(64, "control gear", dali_current_ma=2),),
                {"method": "dali", "dali_supply_current_ma": 200},
                "works",
                demand=exactly(128.0, "ma"),
                margin_percent=36.0,
            ),
        ),
    ),
)


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []
