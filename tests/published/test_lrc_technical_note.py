"""Lighting Research Center, technical note on repetitive peaks and inrush, 2011; its opening was read."""

from __future__ import annotations

import pytest

from tests.published.mains_parts import RELAY, amperes, behind, inrush
from tests.published.published import (
    AnyTrial,
    Figure,
    PublishedValue,
    Trial,
    Within,
    all_trials,
    drivers,
    label,
)
from tests.published.running import ToldByTrial, differences

SOURCE = "LRC technical note, 2011"
NOT_LISTED = {"method": "forward_phase", "listed_load_types": ["incandescent"], "max_current_a": 1}

VALUES = (
    PublishedValue(
        "M1.4 100 times",
        "the inrush may exceed 100 times the operating current; relays are often made for only 10 times",
        SOURCE,
        "opening",
        "verified",
        (
            # 0.2 A steady, 20 A inrush: one driver is already twice what a relay of 1 A for 10 A takes.
            Trial(
                "the steady current is within the relay",
                "current-above-rating",
                (inrush(1, 20.0, 100.0, 0.8, 100.0, input_current_a=0.2),),
                {**RELAY, "max_current_a": 1, "inrush_peak_max_a": 10},
                "works",
                demand=amperes(0.2),
                limit=amperes(1.0),
                around=behind(0.8, 100.0),
            ),
            Trial(
                "the inrush is not",
                "inrush-above-peak-withstood",
                (inrush(1, 20.0, 100.0, 0.8, 100.0, input_current_a=0.2),),
                {**RELAY, "max_current_a": 1, "inrush_peak_max_a": 10},
                "fails",
                demand=Figure(Within(19.5, 20.0), pytest.approx(20.0), "a"),
                limit=amperes(10.0),
                margin_percent=pytest.approx(-100.0),
                around=behind(0.8, 100.0),
            ),
        ),
    ),
    PublishedValue(
        "M1.1 repetitive peak",
        "on forward phase an input with a capacitor draws a peak like an inrush in each half cycle",
        SOURCE,
        "opening",
        "verified",
        (
            # 1 A r.m.s. of a crest factor of 3.0 to 5.5 is at least 3.0 A peak; the step adds to it.
            Trial(
                "capacitive",
                "repetitive-peak-above-withstood",
                (
                    drivers(
                        1,
                        load_type="integral_lamp",
                        input_character="capacitive",
                        input_type="bulk_capacitor",
                        input_current_a=1.0,
                    ),
                ),
                {**NOT_LISTED, "repetitive_peak_max_a": 2.9},
                "fails",
                demand=Figure(Within(2.9, 4.0), Within(20.0, 170.0), "a"),
            ),
            Trial(
                "resistive",
                "repetitive-peak-above-withstood",
                (drivers(1, input_character="resistive", input_current_a=1.0),),
                {**NOT_LISTED, "repetitive_peak_max_a": 3.3},
                None,
            ),
        ),
    ),
    PublishedValue(
        "M5 S16",
        "contacts can fuse closed after repeated switching",
        SOURCE,
        "opening",
        "verified",
        (
            Trial(
                "only the steady rating of the relay is known",
                "inrush-above-peak-withstood",
                (inrush(1, 20.0, 100.0, 0.8, 100.0),),
                {**RELAY, "max_current_a": 16},
                "unproven",
                demand=Figure(Within(19.5, 20.0), pytest.approx(20.0), "a"),
                around=behind(0.8, 100.0),
            ),
        ),
    ),
)


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []
