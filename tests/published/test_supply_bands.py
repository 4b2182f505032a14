"""Bands of the supply voltage: one state's rule for electric utilities, UK law, and a remembered standard."""

from __future__ import annotations

import pytest

from compat.model.verdicts import Verdict
from tests.published.published import (
    AnyTrial,
    PublishedValue,
    Surroundings,
    Trial,
    all_trials,
    drivers,
    label,
)
from tests.published.running import ToldByTrial, differences


def gear(name: str, supply: str, low_v: float, high_v: float, verdict: Verdict) -> Trial:
    """Gear made for voltages, each within 10 %, on a supply of the dataset."""
    return Trial(
        name,
        "supply-band-beyond-usual-tolerance",
        (drivers(1, input_voltage_min_v=low_v, input_voltage_max_v=high_v),),
        {"method": "switched"},
        verdict,
        around=Surroundings(supply=supply),
    )


VALUES = (
    PublishedValue(
        "M3.7 113 V to 127 V",
        "120 V: 113 V to 127 V",
        "83 Ill. Adm. Code 410.300",
        "quoted in a public forum",
        "second_hand",
        (
            gear("gear for 120 V", "U0003", 120, 120, "works"),
            # 0.9 x 125.5 V is 112.95 V and 1.1 x 115.5 V is 127.05 V.
            gear("gear from 125.5 V", "U0003", 125.5, 130, "works"),
            gear("gear from 125.6 V", "U0003", 125.6, 130, "marginal"),
            gear("gear up to 115.5 V", "U0003", 110, 115.5, "works"),
            gear("gear up to 115.4 V", "U0003", 110, 115.4, "marginal"),
        ),
    ),
    PublishedValue(
        "M3.7 range B",
        "120 V: service voltage from 110 V to 127 V on occasion",
        "ANSI C84.1",
        "range B, not seen again",
        "memory",
        (
            gear("gear for 120 V", "U0009", 120, 120, "unproven"),
            gear("gear for 230 V", "U0009", 230, 230, "unproven"),
        ),
    ),
)


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []
