"""EIA-485-A, the electrical layer of DMX: unit loads, as public texts on DMX quote it."""

from __future__ import annotations

import pytest

from compat.model.verdicts import Verdict
from tests.published.published import AnyTrial, PublishedValue, Trial, all_trials, drivers, exactly, label
from tests.published.running import ToldByTrial, differences

SOURCE = "EIA-485-A"
DMX = {"method": "dmx", "dmx_unit_loads": 32}


def loads(
    name: str, receivers: int, each: float, verdict: Verdict, taken: float, margin: object = None
) -> Trial:
    """Receivers of so many unit loads each on one segment."""
    return Trial(
        name,
        "unit-loads-above-segment",
        (drivers(receivers, dmx_unit_loads=each),),
        DMX,
        verdict,
        demand=exactly(taken, "ratio"),
        limit=exactly(32.0, "ratio"),
        margin_percent=margin,
    )


VALUES = (
    PublishedValue(
        "3.3 unit loads",
        "32 unit loads on one segment",
        SOURCE,
        "limit of one segment",
        "second_hand",
        (
            loads("32 receivers", 32, 1, "works", 32.0, 0.0),
            loads("33 receivers", 33, 1, "fails", 33.0, -3.125),
            Trial(
                "an output that claims 64 unit loads",
                "unit-loads-above-segment",
                (drivers(33, dmx_unit_loads=1),),
                {"method": "dmx", "dmx_unit_loads": 64},
                "fails",
                limit=exactly(32.0, "ratio"),
            ),
        ),
    ),
    PublishedValue(
        "W101",
        "40 luminaires of one unit load need two segments",
        SOURCE,
        "limit of one segment",
        "second_hand",
        (
            loads("all on one segment", 40, 1, "fails", 40.0, -25.0),
            loads("half of them on each of two segments", 20, 1, "works", 20.0, 37.5),
        ),
    ),
    PublishedValue(
        "W102",
        "100 receivers of one eighth of a unit load make 12.5 unit loads: one segment",
        "Derived here",
        "100 times one eighth",
        "derived",
        (
            loads("100 receivers", 100, 0.125, "works", 12.5, pytest.approx(60.9375)),
            loads("257 receivers", 257, 0.125, "fails", 32.125),
        ),
    ),
)


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []
