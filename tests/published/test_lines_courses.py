"""Wiring and safety of control lines, as two open courses for electricians teach it.

The UK course cites BS 7671:2018+A4:2026 and the parts of IEC 62386, the US course the codes there.
"""

from __future__ import annotations

import pytest

from compat.model.verdicts import Verdict
from tests.published.published import (
    AnyTrial,
    Figure,
    LineTrial,
    PublishedValue,
    all_trials,
    drivers,
    exactly,
    label,
)
from tests.published.running import ToldByTrial, differences

UK = "Open UK course, lighting controls"
US = "Open US course, 0-10 V dimming"
DALI = {"kind": "dali_line"}
ADDRESSED = {**DALI, "dali_addressing": "addressed"}
BASIC, SELV = drivers(3, "B", control_insulation="basic"), drivers(3, "S", control_insulation="selv")


def pair(name: str, rule: str, verdict: Verdict | None, *rows: object, **stated: object) -> LineTrial:
    """An analogue pair of some rows; the control has SELV terminals where nothing else is said."""
    members = tuple(row for row in (BASIC, SELV) if row in rows)
    return LineTrial(
        name, rule, {"kind": "analog_pair", "output_insulation": "selv", **stated}, verdict, members
    )


def dali(
    name: str, rule: str, verdict: Verdict | None, demand: float | None = None, **stated: object
) -> LineTrial:
    """A DALI line with what is stated for it, and the demand in the unit of the first of that."""
    unit = "m" if any(key.endswith("_m") for key in stated) else "count"
    return LineTrial(
        name, rule, {**DALI, **stated}, verdict, demand=None if demand is None else exactly(demand, unit)
    )


def gear(name: str, number: int, each: int, verdict: Verdict) -> LineTrial:
    """Luminaires of so many short addresses on one addressed line."""
    return LineTrial(
        name,
        "dali-line-gear-addresses-above-64",
        ADDRESSED,
        verdict,
        (drivers(number, dali_addresses=each),),
        demand=exactly(float(number * each), "count"),
        limit=exactly(64.0, "count"),
    )


def supply(name: str, rule: str, taken: float, supplied: dict[str, float], verdict: Verdict) -> LineTrial:
    """64 gears of 2 mA and what control devices take, on supplies stated in mA."""
    return LineTrial(
        name,
        rule,
        {**DALI, "dali_control_device_current_ma": taken, **supplied},
        verdict,
        (drivers(64, dali_current_ma=2, dali_integrated_supply_ma=0),),
    )


CABLE, CONTROL = "pair-cable-not-insulated-for-mains", "pair-selv-control-with-basic-gear"
DEVICES, GROUPS = "dali-line-device-addresses-above-64", "dali-line-groups-above-16"
GUARANTEED, MAXIMA = "dali-line-current-above-guaranteed", "dali-line-supply-maxima-above-250-ma"
FAR = "dali-line-farthest-pair-above-300-m"
VALUES = (
    PublishedValue(
        "1.5 mains-rated cable",
        "with basic insulation the pair is wired with cable rated for the mains",
        UK,
        "lighting section, 1-10 V",
        "second_hand",
        (
            pair("bell cable", CABLE, "hazard", BASIC, mains_rated_cable=False),
            pair("mains cable", CABLE, "works", BASIC, mains_rated_cable=True),
            pair("SELV gear on bell cable", CABLE, None, SELV, mains_rated_cable=False),
        ),
    ),
    PublishedValue(
        "1.5 exposed control",
        "with basic insulation no control that can be touched may stand on the pair",
        UK,
        "lighting section, 1-10 V",
        "second_hand",
        (
            pair("SELV control", CONTROL, "hazard", BASIC, SELV),
            pair(
                "control made for mains wiring",
                CONTROL,
                "works",
                BASIC,
                output_insulation="basic",
            ),
            pair("SELV gear only", CONTROL, None, SELV),
        ),
    ),
    PublishedValue(
        "1.5 mixing",
        "gear of several types on one pair does not track",
        US,
        "uneven levels in the list of faults",
        "second_hand",
        (
            LineTrial(
                "two luminaire types, drivers not named",
                "pair-driver-types-mixed",
                {"kind": "analog_pair"},
                "marginal",
                (drivers(3, "A"), drivers(3, "B")),
                demand=Figure(1.0, 2.0, "count"),
            ),
            LineTrial(
                "one type", "pair-driver-types-mixed", {"kind": "analog_pair"}, "works", (drivers(6, "A"),)
            ),
        ),
    ),
    PublishedValue(
        "2.1 guaranteed",
        "the guaranteed currents of all supplies cover what all members take",
        UK,
        "lighting section, DALI: first of the two rules for supplies",
        "second_hand",
        (
            supply("128 mA and 72 mA on 200 mA", GUARANTEED, 72, {"dali_supply_guaranteed_ma": 200}, "works"),
            supply("128 mA and 73 mA on 200 mA", GUARANTEED, 73, {"dali_supply_guaranteed_ma": 200}, "fails"),
        ),
    ),
    PublishedValue(
        "2.1 maxima",
        "the highest currents of all supplies stay at or below 250 mA",
        UK,
        "lighting section, DALI: second of the two rules for supplies",
        "second_hand",
        (
            supply("130 mA and 120 mA", MAXIMA, 0, {"dali_supply_max_ma": 250}, "works"),
            supply("131 mA and 120 mA", MAXIMA, 0, {"dali_supply_max_ma": 251}, "fails"),
        ),
    ),
    PublishedValue(
        "W064",
        "a star of three branches of 120 m: farthest pair 240 m, which is allowed",
        UK,
        "lighting section, DALI, worked example",
        "second_hand",
        (dali("240 m", FAR, "works", 240.0, farthest_pair_m=240),),
    ),
    PublishedValue(
        "D14",
        "line, star and tree are free, a ring is not",
        UK,
        "lighting section, DALI: topology; an encyclopaedia says the same",
        "second_hand",
        (
            dali("tree", "dali-line-closed-ring", "works", closed_ring=False),
            dali("ring", "dali-line-closed-ring", "fails", closed_ring=True),
        ),
    ),
    PublishedValue(
        "D21",
        "control devices have 64 short addresses apart from those of the gear",
        UK,
        "lighting section, DALI: addresses",
        "second_hand",
        (
            dali("64", DEVICES, "works", 64.0, dali_control_device_addresses=64),
            dali("65", DEVICES, "fails", 65.0, dali_control_device_addresses=65),
            LineTrial(
                "64 gears beside 64 control devices of version 2",
                "dali-line-gear-addresses-above-64",
                {**ADDRESSED, "dali_version": "version_2", "dali_control_device_addresses": 64},
                "works",
                (drivers(64, dali_addresses=1),),
                margin_percent=0.0,
            ),
        ),
    ),
    PublishedValue(
        "D22",
        "16 groups of control gear",
        UK,
        "lighting section, DALI: groups",
        "second_hand",
        (
            dali("16", GROUPS, "works", 16.0, groups_wanted=16),
            dali("17", GROUPS, "fails", 17.0, groups_wanted=17),
        ),
    ),
    PublishedValue(
        "D27",
        "tunable white of two type 6 channels takes two addresses a luminaire",
        "Public data dictionary",
        "two channels, two short addresses",
        "second_hand",
        (gear("32 luminaires", 32, 2, "works"), gear("33 luminaires", 33, 2, "fails")),
    ),
    PublishedValue(
        "D28",
        "colour gear of type 8 takes one address a luminaire",
        "Public data dictionary",
        "one short address for tunable white, colour channels or colour point",
        "second_hand",
        (gear("64 luminaires", 64, 1, "works"), gear("65 luminaires", 65, 1, "fails")),
    ),
    PublishedValue(
        "D30",
        "input devices only report; without an application controller nothing happens",
        UK,
        "lighting section, DALI: control devices",
        "second_hand",
        tuple(
            dali(
                f"application controller: {there}",
                "dali-line-no-application-controller",
                verdict,
                dali_version="version_2",
                dali_control_device_addresses=6,
                application_controller=there,
            )
            for there, verdict in ((True, "works"), (False, "fails"))
        ),
    ),
)


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []
