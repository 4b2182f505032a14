"""Figures that the trade uses and no source was found for: marked so, never counted as published."""

from __future__ import annotations

import pytest

from compat.model.verdicts import Verdict
from tests.published.published import (
    AnyTrial,
    Figure,
    PublishedValue,
    Trial,
    all_trials,
    drivers,
    exactly,
    label,
)
from tests.published.running import ToldByTrial, differences

SOURCE = "Common practice, no source"
RELAY_2300_W = {
    "method": "switched",
    "switches_mains": True,
    "max_load_w": 2300,
    "capacitive_share": [0.1, 0.2],
}
TWO_WIRE = {"method": "switched", "switching_element": "triac", "needs_neutral": False}


def footprint(name: str, taken: int) -> PublishedValue:
    """Slots of one luminaire: an output that sends as many is enough, one that sends one less is not."""
    return PublishedValue(
        f"3.5 {name}",
        f"a luminaire of kind {name} takes {taken} slots",
        SOURCE,
        "slots of a luminaire; the standard does not fix them",
        "common_practice",
        tuple(
            Trial(
                words,
                "footprint-above-slots",
                (drivers(6, dmx_slots=taken),),
                {"method": "dmx", "dmx_slots": sent},
                "works" if sent == taken else "fails",
                demand=exactly(float(taken), "count"),
                limit=exactly(float(sent), "count"),
            )
            for words, sent in (("enough slots", taken), ("one slot short", taken - 1))
        ),
    )


def relay(name: str, load_w: float, verdict: Verdict) -> Trial:
    """An LED load on a relay of 10 A at 230 V of which only the resistive rating is known."""
    return Trial(
        name,
        "capacitive-load-above-derated-rating",
        (drivers(1, input_character="capacitive", input_power_w=load_w),),
        RELAY_2300_W,
        verdict,
        demand=exactly(load_w, "w"),
        limit=Figure(230.0, 460.0, "w"),
    )


VALUES = (
    PublishedValue(
        "4.2 share",
        "10 % to 20 % of a resistive rating for LED drivers where nothing else is known",
        SOURCE,
        "a guess and to be shown as one",
        "common_practice",
        (
            relay("at 10 %", 230.0, "works"),
            relay("just above 10 %", 230.1, "unproven"),
            relay("20 %", 460.0, "unproven"),
        ),
    ),
    PublishedValue(
        "4.3 leakage",
        "off-state currents from 0.1 mA up make lamps glow; here a lamp that is declared to bear so much",
        SOURCE,
        "relay or solid state",
        "common_practice",
        (
            Trial(
                "0.1 mA",
                "off-state-current-above-tolerated",
                (drivers(1, input_character="capacitive", off_state_current_tolerated_ma=0.1),),
                {**TWO_WIRE, "off_state_current_ma": 0.1},
                "works",
                demand=exactly(0.1, "ma"),
                limit=exactly(0.1, "ma"),
                margin_percent=0.0,
            ),
            Trial(
                "just above 0.1 mA",
                "off-state-current-above-tolerated",
                (drivers(1, input_character="capacitive", off_state_current_tolerated_ma=0.1),),
                {**TWO_WIRE, "off_state_current_ma": 0.101},
                "fails",
                demand=exactly(0.101, "ma"),
                limit=exactly(0.1, "ma"),
                margin_percent=pytest.approx(-1.0),
            ),
            Trial(
                "a relay has none",
                "off-state-current-above-tolerated",
                (drivers(1, input_character="capacitive"),),
                {"method": "switched", "switching_element": "relay", "needs_neutral": False},
                None,
            ),
        ),
    ),
    PublishedValue(
        "2.6 broadcast",
        "broadcast gives no control of and no answer from each luminaire",
        SOURCE,
        "with public texts in support",
        "common_practice",
        (
            Trial(
                "broadcast",
                "individual-control-on-broadcast",
                (drivers(9),),
                {"method": "dali", "dali_addressing": "broadcast"},
                "fails",
                {"wanted_individual_control": True},
            ),
            Trial(
                "addressed",
                "individual-control-on-broadcast",
                (drivers(9),),
                {"method": "dali", "dali_addressing": "addressed"},
                "works",
                {"wanted_individual_control": True},
            ),
        ),
    ),
    footprint("dimmable white", 1),
    footprint("tunable white", 2),
    footprint("RGB", 3),
    footprint("RGBW", 4),
    footprint("RGB and two whites", 5),
    footprint("RGB of 16 bits", 6),
    footprint("RGBW of 16 bits", 8),
)


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []
