"""Texts of the association: cable length and key features (DALI Alliance), guidelines and manual (DALI AG).

All were read on the pages of the association but the manual, which a public page quotes.
"""

from __future__ import annotations

import pytest

from compat.model.verdicts import Verdict
from tests.published.published import AnyTrial, LineTrial, PublishedValue, all_trials, drivers, exactly, label
from tests.published.running import ToldByTrial, differences

LENGTH = "DALI Alliance, cable length"
FAR, TOTAL = "dali-line-farthest-pair-above-300-m", "dali-line-total-cable-above-300-m"
CABLE = "dali-line-cable-not-insulated-for-mains"
DALI = {"kind": "dali_line"}


def metres(name: str, rule: str, length: float, verdict: Verdict, margin: object = None) -> LineTrial:
    """A line whose farthest pair, or whose whole cable, has this length."""
    trait = "farthest_pair_m" if rule == FAR else "total_cable_m"
    pair = {} if rule == FAR else {"farthest_pair_m": 320}
    return LineTrial(
        name,
        rule,
        {**DALI, trait: length, **pair},
        verdict,
        demand=exactly(length, "m"),
        limit=exactly(300.0, "m"),
        margin_percent=margin,
    )


def dropped(name: str, length: float, verdict: Verdict, volts: float) -> LineTrial:
    """40 ohm/km and 250 mA drop 20 mV for each metre."""
    return LineTrial(
        name,
        "dali-line-voltage-drop-above-2-v",
        {
            **DALI,
            "dali_supply_max_ma": 200,
            "cable_resistance_ohm_per_km": 40,
            "conductor_temperature_celsius": 20,
            "length_to_farthest_m": length,
        },
        verdict,
        (drivers(1, dali_integrated_supply_ma=50),),
        demand=exactly(pytest.approx(volts), "v"),
        limit=exactly(2.0, "v"),
    )


def scenes(number: int, verdict: Verdict, margin: object) -> LineTrial:
    return LineTrial(
        f"{number} scenes",
        "dali-line-scenes-above-16",
        {**DALI, "scenes_wanted": number},
        verdict,
        demand=exactly(float(number), "count"),
        margin_percent=margin,
    )


def version_1(gears: int, devices: int, verdict: Verdict) -> LineTrial:
    return LineTrial(
        f"{gears} gears and {devices} control units",
        "dali-line-version-1-members-above-64",
        {
            **DALI,
            "dali_version": "version_1",
            "dali_addressing": "addressed",
            "dali_control_device_addresses": devices,
        },
        verdict,
        (drivers(gears, dali_addresses=1),),
        demand=exactly(float(gears + devices), "count"),
        limit=exactly(64.0, "count"),
    )


def insulated(name: str, rule: str, trait: str, value: bool, verdict: Verdict) -> LineTrial:
    return LineTrial(name, rule, {**DALI, trait: value}, verdict)


VALUES = (
    PublishedValue(
        "D11",
        "at most 300 m between any two devices",
        LENGTH,
        "recommended distance, 1.5 mm2 and 250 mA",
        "verified",
        (metres("300 m", FAR, 300, "works", 0.0), metres("301 m", FAR, 301, "fails", pytest.approx(-1 / 3))),
    ),
    PublishedValue(
        "W065",
        "two branches of 100 m with the controller in the middle: farthest pair 200 m",
        LENGTH,
        "example of the technical note",
        "verified",
        (metres("200 m", FAR, 200, "works", pytest.approx(100 / 3)),),
    ),
    PublishedValue(
        "W066",
        "branches of 180 m and 140 m: farthest pair 320 m, too long",
        LENGTH,
        "by the rule of the technical note",
        "derived",
        (metres("320 m", FAR, 320, "fails", pytest.approx(-20 / 3)),),
    ),
    PublishedValue(
        "D12",
        "the whole cable may be longer than 300 m while no pair is",
        LENGTH,
        "total length of a line",
        "verified",
        (
            metres("360 m in all, 320 m between the farthest two", TOTAL, 360, "marginal", -20.0),
            metres("its farthest pair", FAR, 240, "works", 20.0),
        ),
    ),
    PublishedValue(
        "D10",
        "at most 2 V from the supply to any device",
        "DALI AG, system guidelines",
        "voltage drop on the wires",
        "verified",
        (dropped("100 m", 100, "works", 2.0), dropped("101 m", 101, "fails", 2.02)),
    ),
    PublishedValue(
        "D24",
        "each gear stores 16 scenes",
        "DALI Alliance, key features",
        "scenes",
        "verified",
        (scenes(16, "works", 0.0), scenes(17, "fails", -6.25)),
    ),
    PublishedValue(
        "D25",
        "in version 1 control units count among the same 64",
        "DALI AG, system guidelines",
        "members of a line",
        "verified",
        (version_1(54, 10, "works"), version_1(55, 10, "fails")),
    ),
    PublishedValue(
        "D16",
        "the interface has basic insulation only and is not SELV",
        "DALI AG, manual",
        "4.2, page 21, quoted on a public page; the UK course says the same",
        "second_hand",
        (
            insulated("wired as SELV", "dali-line-wired-as-selv", "wired_as_selv", True, "hazard"),
            insulated("wired as mains", "dali-line-wired-as-selv", "wired_as_selv", False, "works"),
        ),
    ),
    PublishedValue(
        "2.1 one cable with the mains",
        "the line may run with the mains in one cable when it is insulated for the mains",
        "DALI AG, manual",
        "4.2, page 21, quoted on a public page",
        "second_hand",
        (
            insulated("five-core cable", CABLE, "mains_rated_cable", True, "works"),
            insulated("bell cable", CABLE, "mains_rated_cable", False, "hazard"),
        ),
    ),
)


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []
