"""NEMA SSL 7A-2015 (R2021): its list of contents sets quantities of dimmer and load against each other.

No figure of it was seen: each trial uses made figures and shows that the pair is compared, and that a
missing one is never taken for granted. IEC TR 63036 holds two-wire switches to the requirements of
phase-cut dimmers (abstract); a textbook says why.
"""

from __future__ import annotations

from typing import Any

import pytest

from compat.model.verdicts import Verdict
from tests.published.mains_parts import amperes
from tests.published.published import (
    AnyTrial,
    Drivers,
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

SOURCE = "NEMA SSL 7A-2015 (R2021)"
DIMMER = {"method": "forward_phase", "switching_element": "triac", "switches_mains": True}
TWO_WIRE = {"switching_element": "triac", "needs_neutral": False}


def lamps(count: int, **traits: Any) -> tuple[Drivers, ...]:
    """LED lamps."""
    return (drivers(count, load_type="integral_lamp", input_character="capacitive", **traits),)


def pair(
    name: str,
    rule: str,
    load: tuple[Drivers, ...],
    output: dict[str, Any],
    verdict: Verdict | None,
    *figures: Figure,
) -> Trial:
    """Lamps on a dimmer; figures are demand and limit."""
    demand, limit = figures if figures else (None, None)
    return Trial(name, rule, load, {**DIMMER, **output}, verdict, demand=demand, limit=limit)


def watts(figure: float) -> Figure:
    """An exact power in W."""
    return exactly(figure, "w")


def milliamperes(figure: Any) -> Figure:
    """An exact current in mA."""
    return exactly(figure, "ma")


VALUES = (
    PublishedValue(
        "M1.3 rated wattage",
        "the sum of the loads against the rated wattage of the dimmer",
        SOURCE,
        "3.2 and 4.2, headings",
        "verified",
        (
            pair(
                "15 of 10 W on 150 W",
                "load-above-rating",
                lamps(15, input_power_w=10),
                {"max_load_w": 150},
                "works",
                watts(150.0),
                watts(150.0),
            ),
            pair(
                "16 of 10 W on 150 W",
                "load-above-rating",
                lamps(16, input_power_w=10),
                {"max_load_w": 150},
                "hazard",
                watts(160.0),
                watts(150.0),
            ),
            pair("no rating", "load-above-rating", lamps(16, input_power_w=10), {}, "unproven"),
        ),
    ),
    PublishedValue(
        "M1.3 method",
        "the load accepts forward phase; the standard is for forward phase only",
        SOURCE,
        "scope and 4.1, heading",
        "verified",
        (
            pair("accepted", "method-not-accepted", lamps(1, methods=["forward_phase"]), {}, "works"),
            pair(
                "reverse phase only", "method-not-accepted", lamps(1, methods=["reverse_phase"]), {}, "fails"
            ),
            pair("not stated", "method-not-accepted", lamps(1), {}, "unproven"),
        ),
    ),
    PublishedValue(
        "M1.3 repetitive peak",
        "the repetitive peak of the loads against that of the dimmer",
        SOURCE,
        "3.5 and 4.6, headings",
        "verified",
        (
            # 1 A r.m.s. of a corrected input: at least sqrt(2) A peak.
            pair(
                "surely too much",
                "repetitive-peak-above-withstood",
                lamps(10, input_current_a=0.1, input_type="corrected"),
                {"listed_load_types": ["incandescent"], "repetitive_peak_max_a": 1.3},
                "fails",
                Figure(Within(1.39, 1.44), Within(1.5, 200.0), "a"),
                amperes(1.3),
            ),
            pair(
                "not stated",
                "repetitive-peak-above-withstood",
                lamps(10, input_current_a=0.1, input_type="corrected"),
                {"listed_load_types": ["incandescent"]},
                "unproven",
            ),
        ),
    ),
    PublishedValue(
        "M1.3 count",
        "inrush and repetitive peak of the loads against the dimmer, told by makers as a count of lamps",
        SOURCE,
        "3.4 and 4.5, 3.5 and 4.6, headings",
        "verified",
        (
            pair("10 of 10", "drivers-above-count", lamps(10), {"max_drivers": 10}, "works"),
            pair("11 of 10", "drivers-above-count", lamps(11), {"max_drivers": 10}, "fails"),
        ),
    ),
    PublishedValue(
        "M1.3 off state",
        "the current of the dimmer in the off state against what the load bears without light",
        SOURCE,
        "3.10 and 4.9, headings",
        "verified",
        (
            pair(
                "2 lamps that bear 1 mA each",
                "off-state-current-above-tolerated",
                lamps(2, off_state_current_tolerated_ma=1),
                {**TWO_WIRE, "off_state_current_ma": 2},
                "works",
                milliamperes(2.0),
                milliamperes(2.0),
            ),
            pair(
                "1 lamp that bears 1 mA",
                "off-state-current-above-tolerated",
                lamps(1, off_state_current_tolerated_ma=1),
                {**TWO_WIRE, "off_state_current_ma": 2},
                "fails",
                milliamperes(2.0),
                milliamperes(1.0),
            ),
            pair(
                "not stated",
                "off-state-current-above-tolerated",
                lamps(1),
                {**TWO_WIRE, "off_state_current_ma": 2},
                "unproven",
            ),
        ),
    ),
    PublishedValue(
        "M1.3 minimum load",
        "the minimum load marked on the dimmer against the load",
        SOURCE,
        "3.12 and 4.11.2, headings",
        "verified",
        (
            pair(
                "4 of 10 W",
                "load-below-minimum",
                lamps(4, input_power_w=10),
                {"min_load_w": 40},
                "works",
                watts(40.0),
                watts(40.0),
            ),
            pair(
                "3 of 10 W",
                "load-below-minimum",
                lamps(3, input_power_w=10),
                {"min_load_w": 40},
                "fails",
                watts(30.0),
                watts(40.0),
            ),
        ),
    ),
    PublishedValue(
        "M1.3 two-wire switch",
        "an electronic switch with two wires is held to the requirements of a phase-cut dimmer",
        "IEC TR 63036:2016",
        "abstract",
        "verified",
        (
            Trial(
                "off-state current of a two-wire sensor",
                "off-state-current-above-tolerated",
                lamps(1, off_state_current_tolerated_ma=1),
                {"method": "switched", **TWO_WIRE, "off_state_current_ma": 1.1},
                "fails",
                demand=milliamperes(1.1),
                limit=milliamperes(1.0),
            ),
            Trial(
                "its minimum load",
                "load-below-minimum",
                lamps(1, input_power_w=5),
                {"method": "switched", **TWO_WIRE, "min_load_w": 6},
                "fails",
                demand=watts(5.0),
                limit=watts(6.0),
            ),
            Trial(
                "a relay has no minimum load",
                "load-below-minimum",
                lamps(1, input_power_w=5),
                {"method": "switched", "switching_element": "relay", "min_load_w": 6},
                None,
            ),
        ),
    ),
    PublishedValue(
        "M1.5 semiconductors",
        "a semiconductor that does not conduct still lets a small current through",
        "Whitfield, The Electrician's Guide, 5th edition",
        "3.3.4",
        "verified",
        (
            Trial(
                "a triac switch of unknown leakage",
                "off-state-current-above-tolerated",
                lamps(1, off_state_current_tolerated_ma=1),
                {"method": "switched", **TWO_WIRE},
                "unproven",
            ),
            Trial(
                "a contact",
                "off-state-current-above-tolerated",
                lamps(1, off_state_current_tolerated_ma=1),
                {"method": "switched", "switching_element": "relay", "needs_neutral": False},
                None,
            ),
        ),
    ),
)


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []
