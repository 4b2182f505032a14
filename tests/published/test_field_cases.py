"""A field case told by the US Department of Energy, a journal of electronics, and a label for lamps."""

from __future__ import annotations

from typing import Any

import pytest

from compat.model.verdicts import Verdict
from tests.published.mains_parts import amperes, percent
from tests.published.published import (
    AnyTrial,
    Figure,
    PublishedValue,
    Trial,
    Within,
    all_trials,
    drivers,
    exactly,
    label,
)
from tests.published.running import ToldByTrial, differences

# Figure, verdict, margin in %.
HOLDS_FROM_6_W: tuple[tuple[float, Verdict, Any], ...] = (
    (6.0, "works", 0.0),
    (5.7, "fails", pytest.approx(-5.0)),
)
REACHES_20_PERCENT: tuple[tuple[float, Verdict, Any], ...] = (
    (20.0, "works", 0.0),
    (21.0, "fails", pytest.approx(-5.0)),
)

VALUES = (
    PublishedValue(
        "M1.4 field case",
        "repetitive peaks of LED replacements loaded a dimmer beyond its capacity",
        "DOE and PNNL field case",
        "posting of an association for lighting controls",
        "verified",
        (
            # 10 x 0.1 A: 1 A uncut, up to 1.3 A while dimmed.
            Trial(
                "the watts are within the rating",
                "load-above-rating",
                (drivers(10, input_character="capacitive", input_power_w=10),),
                {"method": "forward_phase", "max_load_w": 250},
                "works",
                demand=exactly(100.0, "w"),
            ),
            Trial(
                "the current while dimmed may not be",
                "phase-cut-current-above-rating",
                (
                    drivers(
                        10,
                        load_type="integral_lamp",
                        input_character="capacitive",
                        input_type="bulk_capacitor",
                        input_current_a=0.1,
                    ),
                ),
                {"method": "forward_phase", "listed_load_types": ["incandescent"], "max_current_a": 1.1},
                "marginal",
                demand=Figure(Within(0.99, 1.01), Within(1.25, 3.7), "a"),
                limit=amperes(1.1),
            ),
        ),
    ),
    PublishedValue(
        "M1.4 holding current",
        "a cheap dimmer needs about 50 mA to stay on, which is 6 W at 120 V",
        "EDN, 26 May 2011",
        "p. 50",
        "verified",
        tuple(
            Trial(
                f"{watts} W",
                "load-below-minimum",
                (drivers(1, input_power_w=watts),),
                {"method": "forward_phase", "switching_element": "triac", "min_load_w": 0.05 * 120},
                verdict,
                demand=exactly(watts, "w"),
                limit=exactly(6.0, "w"),
                margin_percent=margin,
            )
            for watts, verdict, margin in HOLDS_FROM_6_W
        ),
    ),
    PublishedValue(
        "M1.4 lowest level",
        "a lamp of the label dims to 20 % at least",
        "ENERGY STAR Lamps V1",
        "12.1, told in a trade article",
        "second_hand",
        tuple(
            Trial(
                f"a lamp that reaches {floor} %",
                "driver-floor-above-wanted",
                (drivers(1, dim_floor_percent=floor),),
                {"method": "forward_phase"},
                verdict,
                {"wanted_control": "dimmed", "wanted_dim_floor_percent": 20},
                demand=percent(floor),
                limit=percent(20.0),
                margin_percent=margin,
            )
            for floor, verdict, margin in REACHES_20_PERCENT
        ),
    ),
)


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []
