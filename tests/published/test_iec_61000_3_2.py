"""IEC 61000-3-2, harmonic currents of lighting: the wave form that the standard allows up to 25 W.

86 % and 61 % are from memory and nothing here is judged by them; what follows from a current of this
form, its distortion and its power factor, is arithmetic.
"""

from __future__ import annotations

import math

import pytest

from tests.published.mains_parts import amperes
from tests.published.published import (
    AnyTrial,
    PublishedValue,
    Trial,
    all_trials,
    drivers,
    exactly,
    label,
)
from tests.published.running import ToldByTrial, differences

# The root of the sum of squares of the harmonics, and the power factor of a current in step.
DISTORTION = math.hypot(0.86, 0.61)
POWER_FACTOR = 1.0 / math.sqrt(1.0 + DISTORTION**2)
RELAY = {"method": "switched", "switches_mains": True, "max_current_a": 10, "max_apparent_power_va": 2300}

VALUES = (
    PublishedValue(
        "WE-49",
        "third harmonic 86 %, fifth 61 %: distortion 105.4 %, distortion factor 0.688",
        "IEC 61000-3-2 class C",
        "5 W to 25 W, second alternative, as remembered; square root of the sum of squares",
        "derived",
        (
            # 79 drivers of 20 W take 9.985 A at power factor 0.688, and 6.870 A if it were 1.
            Trial(
                "79 drivers of 20 W on 10 A",
                "current-above-rating",
                (drivers(79, input_power_w=20, power_factor=POWER_FACTOR),),
                RELAY,
                "works",
                demand=amperes(pytest.approx(9.985, rel=1e-3)),
            ),
            Trial(
                "80 drivers of 20 W on 10 A",
                "current-above-rating",
                (drivers(80, input_power_w=20, power_factor=POWER_FACTOR),),
                RELAY,
                "hazard",
                demand=amperes(pytest.approx(10.111, rel=1e-3)),
            ),
            Trial(
                "apparent power beside an iron core",
                "apparent-power-above-rating",
                (drivers(79, input_character="inductive", input_power_w=20, power_factor=POWER_FACTOR),),
                RELAY,
                "works",
                demand=exactly(pytest.approx(1580.0 / 0.688, rel=1e-3), "va"),
            ),
        ),
    ),
)


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []


def test_distortion() -> None:
    assert pytest.approx(1.054, abs=5e-4) == DISTORTION
