"""The page of the DALI Alliance on colour control, read."""

from __future__ import annotations

import pytest

from tests.published.published import AnyTrial, PublishedValue, Trial, all_trials, drivers, label
from tests.published.running import ToldByTrial, differences

COLOUR_WANTED = {"wanted_colour_control": True}
TYPE_8 = (drivers(5, dali_device_type="type_8", colour="tunable_white"),)

VALUES = (
    PublishedValue(
        "2.5 type 8",
        "part 209, colour control, is device type 8",
        "DALI Alliance, colour control",
        "colour control, IEC 62386-209",
        "verified",
        (
            Trial(
                "type 8 commanded",
                "device-type-not-commanded",
                TYPE_8,
                {"method": "dali", "dali_device_types": ["type_6", "type_8"]},
                "works",
                COLOUR_WANTED,
            ),
            Trial(
                "type 6 commanded only",
                "device-type-not-commanded",
                TYPE_8,
                {"method": "dali", "dali_device_types": ["type_6"]},
                "fails",
                COLOUR_WANTED,
            ),
            Trial(
                "level only, no colour wanted",
                "device-type-not-commanded",
                TYPE_8,
                {"method": "dali", "dali_device_types": ["type_6"]},
                None,
                {"wanted_colour_control": False},
            ),
        ),
    ),
    PublishedValue(
        "2.5 colour kinds",
        "colour temperature and colour channels are certified apart: one does not bring the other",
        "DALI Alliance, colour control",
        "kinds of colour control that are certified",
        "verified",
        (
            Trial(
                "colour temperature commanded",
                "colour-not-commanded",
                TYPE_8,
                {"method": "dali", "colours": ["tunable_white"]},
                "works",
                COLOUR_WANTED,
            ),
            Trial(
                "colour channels commanded besides",
                "colour-not-commanded",
                TYPE_8,
                {"method": "dali", "colours": ["tunable_white", "rgb"]},
                "works",
                COLOUR_WANTED,
            ),
            Trial(
                "colour channels commanded only",
                "colour-not-commanded",
                TYPE_8,
                {"method": "dali", "colours": ["rgb", "rgbw"]},
                "fails",
                COLOUR_WANTED,
            ),
        ),
    ),
)


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []
