"""Parts 205 to 209 and 202 of IEC 62386: device types and what a control must command for them."""

from __future__ import annotations

import pytest

from compat.model.verdicts import Verdict
from tests.published.published import AnyTrial, PublishedValue, Trial, all_trials, drivers, exactly, label
from tests.published.running import ToldByTrial, differences

ADDRESSED = {"method": "dali", "dali_addressing": "addressed", "dali_addresses": 64}


def functions(name: str, device_type: str, commanded: list[str], reached: bool) -> Trial:
    """Gear of a device type on an output that commands these types."""
    return Trial(
        name,
        "device-type-functions-not-commanded",
        (drivers(3, dali_device_type=device_type),),
        {"method": "dali", "dali_device_types": commanded},
        "works" if reached else "marginal",
    )


def addresses(name: str, gear: int, each: int, verdict: Verdict, taken: float, margin: object) -> Trial:
    """Luminaires that take addresses on one line of 64."""
    return Trial(
        name,
        "addresses-above-limit",
        (drivers(gear, dali_addresses=each),),
        ADDRESSED,
        verdict,
        demand=exactly(taken, "count"),
        limit=exactly(64.0, "count"),
        margin_percent=margin,
    )


VALUES = (
    PublishedValue(
        "2.5 type 1",
        "part 202, self-contained emergency lighting, is device type 1",
        "IEC 62386-202",
        "number and subject of the part",
        "second_hand",
        (
            functions("commanded", "type_1", ["type_1", "type_6"], True),
            functions("not commanded", "type_1", ["type_6"], False),
        ),
    ),
    PublishedValue(
        "2.5 type 4",
        "part 205, supply-voltage controllers for incandescent lamps, is device type 4",
        "IEC 62386-205",
        "abstract",
        "verified",
        (
            functions("commanded", "type_4", ["type_4"], True),
            functions("not commanded", "type_4", ["type_6"], False),
        ),
    ),
    PublishedValue(
        "2.5 type 5",
        "part 206, conversion to a direct control voltage, is device type 5",
        "IEC 62386-206",
        "number and subject of the part",
        "second_hand",
        (
            functions("commanded", "type_5", ["type_5"], True),
            functions("not commanded", "type_5", ["type_6"], False),
        ),
    ),
    PublishedValue(
        "2.5 type 6",
        "part 207, LED modules, is device type 6 and follows the common level commands",
        "IEC 62386-207",
        "AS/NZS 62386.207:2020, excerpt",
        "verified",
        (
            Trial(
                "no special command needed",
                "device-type-functions-not-commanded",
                (drivers(3, dali_device_type="type_6"),),
                {"method": "dali", "dali_device_types": []},
                None,
            ),
        ),
    ),
    PublishedValue(
        "W040",
        "on the linear curve of type 6, level 1 is 0.39 %",
        "IEC 62386-207",
        "clause 9.3 of AS/NZS 62386.207:2020 for the curve; one part of 254 or 255",
        "derived",
        (
            Trial(
                "0.4 % wanted",
                "driver-floor-above-wanted",
                (drivers(2, dim_floor_percent=0.39),),
                {"method": "dali"},
                "works",
                {"wanted_control": "dimmed", "wanted_dim_floor_percent": 0.4},
                demand=exactly(0.39, "percent"),
                margin_percent=pytest.approx(2.5),
            ),
            Trial(
                "0.1 % wanted",
                "driver-floor-above-wanted",
                (drivers(2, dim_floor_percent=0.39),),
                {"method": "dali"},
                "fails",
                {"wanted_control": "dimmed", "wanted_dim_floor_percent": 0.1},
                demand=exactly(0.39, "percent"),
                margin_percent=pytest.approx(-290.0),
            ),
        ),
    ),
    PublishedValue(
        "W068",
        "40 luminaires of two type 6 channels take 80 addresses: two lines",
        "IEC 62386-207",
        "64 addresses on one line; two addresses for two channels, in a public data dictionary",
        "derived",
        (
            addresses("all on one line", 40, 2, "fails", 80.0, -25.0),
            addresses("half of them on each of two lines", 20, 2, "works", 40.0, 37.5),
            addresses("32 luminaires fill a line", 32, 2, "works", 64.0, 0.0),
            addresses("33 luminaires on a line", 33, 2, "fails", 66.0, -3.125),
        ),
    ),
    PublishedValue(
        "W069",
        "40 tunable-white luminaires of type 8 take one address each: one line",
        "IEC 62386-209",
        "64 addresses on one line; one address for a luminaire of type 8",
        "derived",
        (
            addresses("40 luminaires", 40, 1, "works", 40.0, 37.5),
            addresses("65 luminaires", 65, 1, "fails", 65.0, -1.5625),
        ),
    ),
    PublishedValue(
        "W070",
        "16 RGBW luminaires of four type 6 channels fill a line",
        "IEC 62386-207",
        "64 addresses on one line; four addresses for four channels",
        "derived",
        (
            addresses("16 luminaires", 16, 4, "works", 64.0, 0.0),
            addresses("17 luminaires", 17, 4, "fails", 68.0, -6.25),
        ),
    ),
)


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []
