"""The straight line from 1 V to full output: an assumption, as IEC 60929 Annex E fixes no curve.

A single driver at the far end is given a rise of so many volts over the 1 V that the control sets, so
that the light it keeps is that of the printed control voltage.
"""

from __future__ import annotations

import pytest

from compat.model.verdicts import Verdict
from tests.published.published import AnyTrial, LineTrial, PublishedValue, all_trials, drivers, exactly, label
from tests.published.running import ToldByTrial, differences

SOURCE = "Derived here"
LINEAR = "light on a straight line between 1 V and full output"


def lowest(
    name: str, sees_v: float, floor: float, full_v: float, light: float, wanted: float, verdict: Verdict
) -> LineTrial:
    """40 ohm/km and 50 mA raise the far end by 4 mV for each metre."""
    return LineTrial(
        name,
        "pair-lowest-level-above-wanted",
        {
            "kind": "analog_pair",
            "cable_resistance_ohm_per_km": 40,
            "conductor_temperature_celsius": 20,
            "length_to_farthest_m": (sees_v - 1.0) / 0.004,
            "wanted_dim_floor_percent": wanted,
        },
        verdict,
        (
            drivers(
                1,
                control_current_ma=50,
                control_current_direction="sources",
                dim_floor_percent=floor,
                control_full_output_v=full_v,
            ),
        ),
        demand=exactly(pytest.approx(light, abs=0.005), "percent"),
        limit=exactly(wanted, "percent"),
    )


VALUES = (
    PublishedValue(
        "W010",
        "the control sets 1.00 V, the driver sees 1.36 V: 13.6 % instead of 10 %",
        SOURCE,
        LINEAR,
        "derived",
        (
            lowest("13.7 % wanted", 1.36, 10, 10, 13.6, 13.7, "works"),
            lowest("10 % wanted", 1.36, 10, 10, 13.6, 10, "marginal"),
        ),
    ),
    PublishedValue(
        "W012",
        "5.0 V on a driver from 10 %, full at 10 V: 50 %",
        SOURCE,
        LINEAR,
        "derived",
        (
            lowest("50.1 % wanted", 5.0, 10, 10, 50.0, 50.1, "works"),
            lowest("49.9 % wanted", 5.0, 10, 10, 50.0, 49.9, "marginal"),
        ),
    ),
    PublishedValue(
        "W013",
        "5.0 V on a driver from 1 %, full at 8 V: 57.57 %",
        SOURCE,
        LINEAR + "; the class of 8 V is second hand",
        "derived",
        (
            lowest("57.6 % wanted", 5.0, 1, 8, 57.57, 57.6, "works"),
            lowest("57.5 % wanted", 5.0, 1, 8, 57.57, 57.5, "marginal"),
        ),
    ),
    PublishedValue(
        "W014",
        "5.0 V on a driver from 1 %, full at 9 V: 50.5 %",
        SOURCE,
        LINEAR + "; the class of 9 V is second hand",
        "derived",
        (
            lowest("50.6 % wanted", 5.0, 1, 9, 50.5, 50.6, "works"),
            lowest("50.4 % wanted", 5.0, 1, 9, 50.5, 50.4, "marginal"),
        ),
    ),
)


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []
