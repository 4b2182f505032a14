"""Voltage along control lines, from the resistances of IEC 60228 (second hand) and a DALI line of 2 V.

The lengths stand in one table, rounded to metres: by conductivity 56, and by IEC 60228 at 20 and 70
degrees Celsius. At 70 degrees they take pure copper, 0.00393 per kelvin; the factors of the standard
itself, 0.004, give 0.3 % less.
"""

from __future__ import annotations

import pytest

from compat.model.verdicts import Verdict
from compat.physics.control_line import dali_drop_v
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

SOURCE = "IEC 60228"
DERIVED = "2 V, 250 mA, both wires"
RISE = "pair-voltage-rise-above-usual"
DROP = "dali-line-voltage-drop-above-2-v"
GAMMA_56 = {0.5: 1000 / 28, 0.75: 1000 / 42, 1.0: 1000 / 56, 1.5: 1000 / 84, 2.5: 1000 / 140}
AT_20 = {0.5: 36.0, 0.75: 24.5, 1.0: 18.1, 1.5: 12.1, 2.5: 7.41}
AT_70 = {area: 1.1965 * resistance for area, resistance in AT_20.items()}


def rise(
    name: str, number: int, each_ma: float, metres: float, resistance: float, verdict: Verdict, demand: Figure
) -> LineTrial:
    """Drivers that source current, somewhere along the pair or all at its end."""
    return LineTrial(
        name,
        RISE,
        {
            "kind": "analog_pair",
            "cable_resistance_ohm_per_km": resistance,
            "conductor_temperature_celsius": 20,
            "length_to_farthest_m": metres,
        },
        verdict,
        (drivers(number, control_current_ma=each_ma, control_current_direction="sources"),),
        demand=demand,
        limit=exactly(0.3, "v"),
    )


def drop(name: str, metres: float, resistance: float, verdict: Verdict, demand: Figure | None) -> LineTrial:
    """A DALI line with 250 mA of supply, so many metres to its farthest device."""
    return LineTrial(
        name,
        DROP,
        {
            "kind": "dali_line",
            "dali_supply_max_ma": 250,
            "cable_resistance_ohm_per_km": resistance,
            "conductor_temperature_celsius": 20,
            "length_to_farthest_m": metres,
        },
        verdict,
        (drivers(1, dali_integrated_supply_ma=0),),
        demand=demand,
        limit=exactly(2.0, "v"),
    )


def longest(value_id: str, printed_m: float, resistance: float, what: str) -> PublishedValue:
    """A printed length, rounded: the last digit below it still holds 2 V, the one above does not."""
    digit = 1.0 if printed_m == round(printed_m) else 0.1
    return PublishedValue(
        value_id,
        f"{what}: 2 V are used up at {printed_m} m",
        SOURCE,
        DERIVED,
        "derived",
        (
            drop(
                "just shorter",
                printed_m - digit,
                resistance,
                "works",
                exactly(pytest.approx(2.0, rel=0.012), "v"),
            ),
            drop(
                "just longer",
                printed_m + digit,
                resistance,
                "fails",
                exactly(pytest.approx(2.0, rel=0.02), "v"),
            ),
        ),
    )


RISES = (
    PublishedValue(
        "W006",
        "20 drivers of 0.5 mA at 100 m of 0.75 mm2 raise the far end by 0.049 V",
        SOURCE,
        "24.5 ohm/km, all drivers at the end",
        "derived",
        (
            rise(
                "at the end or spread",
                20,
                0.5,
                100,
                24.5,
                "works",
                Figure(pytest.approx(0.0257, abs=5e-5), pytest.approx(0.049), "v"),
            ),
        ),
    ),
    PublishedValue(
        "W008",
        "25 drivers of 2 mA at 100 m of 1.5 mm2: 0.121 V",
        SOURCE,
        "12.1 ohm/km, all drivers at the end",
        "derived",
        (
            rise(
                "at the end or spread",
                25,
                2,
                100,
                12.1,
                "works",
                Figure(pytest.approx(0.0629, abs=5e-5), pytest.approx(0.121), "v"),
            ),
        ),
    ),
    PublishedValue(
        "W009",
        "25 drivers of 2 mA evenly along 100 m of 0.5 mm2: 0.1872 V; all at the end it would be 0.36 V",
        SOURCE,
        "36.0 ohm/km, (N + 1)/(2 N) of the current",
        "derived",
        (
            rise(
                "at the end or spread",
                25,
                2,
                100,
                36.0,
                "marginal",
                Figure(pytest.approx(0.1872), pytest.approx(0.36), "v"),
            ),
        ),
    ),
    PublishedValue(
        "1.5 thinnest wire",
        "with about 20 ohm/km and 1 mA the rise hardly counts: true of one driver, not of fifty",
        "Encyclopaedia, 0-10 V lighting control",
        "the drop along the pair",
        "second_hand",
        (
            rise("one driver", 1, 1, 200, 20, "works", exactly(pytest.approx(0.008), "v")),
            rise(
                "fifty drivers",
                50,
                1,
                200,
                20,
                "marginal",
                Figure(pytest.approx(0.204), pytest.approx(0.4), "v"),
            ),
            rise(
                "fifty drivers, twice as far",
                50,
                1,
                400,
                20,
                "marginal",
                Figure(pytest.approx(0.408), pytest.approx(0.8), "v"),
            ),
        ),
    ),
)
LENGTHS = (
    PublishedValue(
        "W072",
        "300 m of 0.5 mm2 at 250 mA drop 5.357 V where 2 V are allowed",
        SOURCE,
        "conductivity 56",
        "derived",
        (drop("300 m", 300, GAMMA_56[0.5], "fails", exactly(pytest.approx(5.357, abs=5e-4), "v")),),
    ),
    longest("W073", 112, GAMMA_56[0.5], "0.5 mm2, conductivity 56"),
    longest("W074", 168, GAMMA_56[0.75], "0.75 mm2, conductivity 56"),
    longest("2.1 length 1 mm2, conductivity 56", 224, GAMMA_56[1.0], "1 mm2, conductivity 56"),
    longest("W076", 336, GAMMA_56[1.5], "1.5 mm2, conductivity 56"),
    longest("2.1 length 2.5 mm2, conductivity 56", 560, GAMMA_56[2.5], "2.5 mm2, conductivity 56"),
    longest("2.1 length 0.5 mm2, 20 C", 111, AT_20[0.5], "0.5 mm2 at 20 degrees"),
    longest("2.1 length 0.75 mm2, 20 C", 163, AT_20[0.75], "0.75 mm2 at 20 degrees"),
    longest("2.1 length 1 mm2, 20 C", 221, AT_20[1.0], "1 mm2 at 20 degrees"),
    longest("2.1 length 1.5 mm2, 20 C", 331, AT_20[1.5], "1.5 mm2 at 20 degrees"),
    longest("2.1 length 2.5 mm2, 20 C", 540, AT_20[2.5], "2.5 mm2 at 20 degrees"),
    longest("2.1 length 0.5 mm2, 70 C", 93, AT_70[0.5], "0.5 mm2 at 70 degrees"),
    longest("2.1 length 0.75 mm2, 70 C", 137, AT_70[0.75], "0.75 mm2 at 70 degrees"),
    longest("2.1 length 1 mm2, 70 C", 185, AT_70[1.0], "1 mm2 at 70 degrees"),
    longest("W077", 276.3, AT_70[1.5], "1.5 mm2 at 70 degrees"),
    longest("2.1 length 2.5 mm2, 70 C", 451, AT_70[2.5], "2.5 mm2 at 70 degrees"),
)
VALUES = RISES + LENGTHS


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []


def test_the_factors_of_the_standard_give_0_3_percent_less_length() -> None:
    """The 276.3 m of W077 are of pure copper; a line takes 0.004 per kelvin."""
    assert dali_drop_v(12.1, 70, 276.3, 0.25, rule="copper") == pytest.approx(2.0, rel=2e-4)
    assert dali_drop_v(12.1, 70, 276.3 * 0.997, 0.25) == pytest.approx(2.0, rel=2e-4)
