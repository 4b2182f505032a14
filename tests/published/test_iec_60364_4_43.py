"""IEC 60364-4-43, protection against overcurrent, as restated in public texts."""

from __future__ import annotations

from typing import Any

import pytest

from compat.model.verdicts import Verdict
from tests.published.mains_parts import amperes
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

# Drivers, verdict, margin in %.
ON_16_A: tuple[tuple[int, Verdict, Any], ...] = ((32, "works", 0.0), (33, "fails", pytest.approx(-3.125)))

VALUES = (
    PublishedValue(
        "M3.4 IEC",
        "the current of the load is at most the rated current of the device",
        "IEC 60364-4-43",
        "order of load current, rated current and current of the cable",
        "second_hand",
        tuple(
            Trial(
                f"{count} drivers of 0.5 A on 16 A",
                "steady-current-above-breaker",
                (drivers(count, input_current_a=0.5),),
                {"method": "switched"},
                verdict,
                demand=amperes(0.5 * count),
                limit=amperes(16.0),
                margin_percent=margin,
                around=Surroundings(breaker="B0011"),
            )
            for count, verdict, margin in ON_16_A
        ),
    ),
)


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []
