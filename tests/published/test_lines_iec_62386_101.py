"""IEC 62386-101, the line: levels, supplies together, and the time of commands.

Values with clause and table stand in a public header file and in public texts; the standard was not
seen. 1200 bit/s make 14.17 ms of a start bit and 16 bits.
"""

from __future__ import annotations

import pytest

from compat.model.verdicts import Verdict
from tests.published.published import (
    AnyTrial,
    Figure,
    LineTrial,
    PublishedValue,
    all_trials,
    drivers,
    exactly,
    label,
)
from tests.published.running import ToldByTrial, differences

SOURCE = "IEC 62386-101"
DALI = {"kind": "dali_line"}
MAXIMA = "dali-line-supply-maxima-above-250-ma"


def far_level(name: str, supply_v: float, drop_v: float, left_v: float, verdict: Verdict) -> LineTrial:
    """40 ohm/km and the 250 mA that all members take while idle drop 20 mV for each metre."""
    return LineTrial(
        name,
        "dali-line-far-level-below-receiver",
        {
            **DALI,
            "dali_supply_voltage_v": supply_v,
            "dali_control_device_current_ma": 248,
            "cable_resistance_ohm_per_km": 40,
            "conductor_temperature_celsius": 20,
            "length_to_farthest_m": drop_v / 0.02,
        },
        verdict,
        (drivers(1, dali_current_ma=2),),
        demand=exactly(pytest.approx(left_v), "v"),
        limit=exactly(9.5, "v"),
    )


def maxima(name: str, separate: float, number: int, each: float, verdict: Verdict, total: float) -> LineTrial:
    """Separate supplies, and one built into each luminaire."""
    return LineTrial(
        name,
        MAXIMA,
        {**DALI, "dali_supply_max_ma": separate},
        verdict,
        (drivers(number, dali_integrated_supply_ma=each),),
        demand=exactly(total, "ma"),
        limit=exactly(250.0, "ma"),
    )


def one_by_one(
    name: str, lights: int, low: float, high: float, verdict: Verdict, digit: float = 5e-4
) -> LineTrial:
    """So many lights set one after another; from the shortest to the longest settling time."""
    return LineTrial(
        name,
        "dali-line-set-one-by-one-visible",
        {**DALI, "set_one_by_one": True},
        verdict,
        (drivers(lights, dali_addresses=1),),
        demand=Figure(pytest.approx(low, abs=digit), pytest.approx(high, abs=digit), "s"),
    )


VALUES = (
    PublishedValue(
        "D01",
        "a receiver takes 9.5 V and above for high",
        SOURCE,
        "printed in DALI AG, electrical guidelines",
        "verified",
        (far_level("9.5 V", 9.5, 0, 9.5, "works"), far_level("9.49 V", 9.49, 0, 9.49, "fails")),
    ),
    PublishedValue(
        "D04",
        "a supply of version 1 gives 11.5 V at least: 2 V lost leave just enough",
        SOURCE,
        "edition of 2009, in public texts",
        "second_hand",
        (far_level("2 V lost", 11.5, 2, 9.5, "works"), far_level("2.02 V lost", 11.5, 2.02, 9.48, "fails")),
    ),
    PublishedValue(
        "D05",
        "a supply of 2014 and later gives 12.0 V to 20.5 V: half a volt more to lose",
        SOURCE,
        "clause 6, in public texts",
        "second_hand",
        (
            far_level("12.0 V, 2.5 V lost", 12, 2.5, 9.5, "works"),
            far_level("12.0 V, 2.52 V lost", 12, 2.52, 9.48, "fails"),
            far_level("20.5 V, 2.52 V lost", 20.5, 2.52, 17.98, "works"),
        ),
    ),
    PublishedValue(
        "W078",
        "12.0 V less 2.0 V leave 10.0 V, above 9.5 V",
        SOURCE,
        "lowest supply voltage and level of a receiver, in public texts",
        "second_hand",
        (far_level("12.0 V, 2.0 V lost", 12, 2, 10.0, "works"),),
    ),
    PublishedValue(
        "W061",
        "supplies of 200 mA and 116 mA give 316 mA, too much",
        SOURCE,
        "sum of the highest currents at most 250 mA",
        "derived",
        (maxima("both", 316, 1, 0, "fails", 316.0), maxima("the larger alone", 200, 1, 0, "works", 200.0)),
    ),
    PublishedValue(
        "W062",
        "five luminaires with 60 mA built in give 300 mA, too much",
        SOURCE,
        "sum of the highest currents at most 250 mA; 60 mA second hand",
        "derived",
        (maxima("five", 0, 5, 60, "fails", 300.0),),
    ),
    PublishedValue(
        "2.5 integrated supply",
        "a supply built into a luminaire gives 50 mA to 60 mA; it counts beside a separate one",
        "IEC 62386-250",
        "in public texts; the standard was not seen",
        "second_hand",
        (
            maxima("one of 50 mA beside 200 mA", 200, 1, 50, "works", 250.0),
            maxima("one of 60 mA beside 200 mA", 200, 1, 60, "fails", 260.0),
        ),
    ),
    PublishedValue(
        "2.5 four in parallel",
        "up to four supplies of 60 mA may stand in parallel",
        "IEC 62386-250",
        "remembered, not seen",
        "memory",
        (maxima("four", 0, 4, 60, "works", 240.0),),
    ),
    PublishedValue(
        "W080",
        "a command of 16 bits takes 14.17 ms: with its settling time one light takes 27.7 ms to 28.9 ms",
        SOURCE,
        "17 bits at 1200 bit/s",
        "derived",
        (one_by_one("one light", 1, 0.01417 + 0.0135, 0.01417 + 0.0147, "works"),),
    ),
    PublishedValue(
        "W084",
        "64 levels sent one by one take 1.81 s in the middle of the settling time",
        SOURCE,
        "14.17 ms and 14.1 ms for each",
        "derived",
        (one_by_one("64 lights", 64, 1.81 - 64 * 0.0006, 1.81 + 64 * 0.0006, "marginal", 5e-3),),
    ),
    PublishedValue(
        "2.3 settling",
        "before a command of priority 1 pass 13.5 ms to 14.7 ms",
        SOURCE,
        "8.3.2 of the edition of 2022, in a public header file",
        "second_hand",
        (
            one_by_one("17 lights at either end", 17, 0.4703, 0.4907, "works"),
            one_by_one("18 lights", 18, 0.498, 0.5196, "marginal"),
        ),
    ),
    PublishedValue(
        "2.3 throughput",
        "about 36 commands pass in a second",
        SOURCE,
        "bit rate and settling time of priority 1",
        "derived",
        (one_by_one("36 lights", 36, 0.996, 1.0392, "marginal"),),
    ),
)


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []
