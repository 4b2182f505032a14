"""ANSI E1.11, DMX512-A: quoted by a reader of the edition of 2024; the standard was not seen."""

from __future__ import annotations

import pytest

from compat.model.verdicts import Verdict
from tests.published.published import AnyTrial, PublishedValue, Trial, all_trials, drivers, exactly, label
from tests.published.running import ToldByTrial, differences

SOURCE = "ANSI E1.11-2024"
SLOTS = "clauses 1.2, 3.36 and 8.6: 512 data slots"
DMX = {"method": "dmx", "dmx_slots": 512}
EACH = {"wanted_individual_control": True}


def slots(
    name: str, rows: tuple[tuple[int, int], ...], verdict: Verdict, taken: float, margin: object = None
) -> Trial:
    """Luminaires (number, footprint) that are set one by one on one output."""
    return Trial(
        name,
        "slots-above-output",
        tuple(drivers(number, f"of {footprint} slots", dmx_slots=footprint) for number, footprint in rows),
        DMX,
        verdict,
        EACH,
        demand=exactly(taken, "count"),
        limit=exactly(512.0, "count"),
        margin_percent=margin,
    )


VALUES = (
    PublishedValue(
        "3.1 slots",
        "up to 513 slots: slot 0 is the START code, 512 are data",
        SOURCE,
        SLOTS,
        "second_hand",
        (
            slots("512 slots", ((512, 1),), "works", 512.0, 0.0),
            slots("513 slots", ((513, 1),), "fails", 513.0, pytest.approx(-100 / 512)),
            Trial(
                "an output that claims 513 data slots",
                "slots-above-output",
                (drivers(513, dmx_slots=1),),
                {"method": "dmx", "dmx_slots": 513},
                "fails",
                EACH,
                limit=exactly(512.0, "count"),
            ),
        ),
    ),
    PublishedValue(
        "3.2 step",
        "eight bits step by 0.39 %",
        SOURCE,
        "one part of 255",
        "derived",
        (
            Trial(
                "0.4 % wanted",
                "level-steps-visible",
                (drivers(1, dmx_bits=8, dimming_curve="linear"),),
                DMX,
                "works",
                {"wanted_control": "dimmed", "wanted_dim_floor_percent": 0.4},
                demand=exactly(pytest.approx(0.39, abs=0.005), "percent"),
            ),
            Trial(
                "0.39 % wanted",
                "level-steps-visible",
                (drivers(1, dmx_bits=8, dimming_curve="linear"),),
                DMX,
                "marginal",
                {"wanted_control": "dimmed", "wanted_dim_floor_percent": 0.39},
                demand=exactly(pytest.approx(0.39, abs=0.005), "percent"),
                limit=exactly(0.39, "percent"),
            ),
        ),
    ),
    PublishedValue(
        "W096",
        "150 RGBW luminaires of four slots need two universes",
        "Derived here",
        SLOTS,
        "derived",
        (
            slots("all in one universe", ((150, 4),), "fails", 600.0, pytest.approx(-17.1875)),
            slots("75 in each of two universes", ((75, 4),), "works", 300.0),
            slots("128 fill a universe", ((128, 4),), "works", 512.0, 0.0),
        ),
    ),
    PublishedValue(
        "W097",
        "170 RGB luminaires of three slots in one universe",
        "Derived here",
        SLOTS,
        "derived",
        (
            slots("170 luminaires", ((170, 3),), "works", 510.0),
            slots("171 luminaires", ((171, 3),), "fails", 513.0),
        ),
    ),
    PublishedValue(
        "W098",
        "64 RGBW luminaires of 16 bits, eight slots, in one universe",
        "Derived here",
        SLOTS,
        "derived",
        (
            slots("64 luminaires", ((64, 8),), "works", 512.0, 0.0),
            slots("65 luminaires", ((65, 8),), "fails", 520.0, -1.5625),
        ),
    ),
    PublishedValue(
        "W100",
        "four slots from start address 510 would end at 513, above 512",
        "Derived here",
        SLOTS,
        "derived",
        (
            slots("509 slots before", ((509, 1), (1, 4)), "fails", 513.0),
            slots("508 slots before", ((508, 1), (1, 4)), "works", 512.0, 0.0),
        ),
    ),
)


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []
