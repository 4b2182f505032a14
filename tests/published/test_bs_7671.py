"""BS 7671: voltage drops that the program's own sum gives; the other values stand in ``values/bs_7671.toml``.

Read in public guidance, textbooks and forums that restate it; the standard itself was not seen.
"""

from __future__ import annotations

import pytest

from compat.model.verdicts import Verdict
from compat.physics.cable import drop_at_end_v
from tests.published.mains_parts import drop, on_made_cable, percent
from tests.published.published import (
    AnyTrial,
    PublishedValue,
    RuleTrial,
    Trial,
    all_trials,
    drivers,
    exactly,
    label,
)
from tests.published.running import ToldByTrial, differences

SOURCE = "BS 7671"
DROP = "voltage-drop-above-limit"
# 10 loads of 0.2 A at a pitch of 5 m: each piece carries the current of the loads beyond it.
TEN_POINTS_V = sum(drop_at_end_v(14.5, 5.0, 0.2 * beyond) for beyond in range(1, 11))
AT_END_V = drop_at_end_v(9.0, 40.0, 10.0)


def circuit(
    name: str, millivolts: float, count: int, current_a: float, metres: float, verdict: Verdict
) -> Trial:
    """Luminaires on a cable with this figure of mV/A/m at 70 degrees, spread along it or all at its end."""
    volts = millivolts / 1000.0 * count * current_a * metres
    return Trial(
        name,
        DROP,
        (drivers(count, input_current_a=current_a),),
        {"method": "switched"},
        verdict,
        {"cable_length_m": metres},
        demand=drop(volts / 2.4, volts),
        limit=percent(3.0),
        around=on_made_cable(millivolts / 2.4),
    )


def share(name: str, volts: float, printed_v: float, limit_percent: float, verdict: Verdict) -> RuleTrial:
    """A drop computed by the program beside the one of the source."""
    return RuleTrial(
        name,
        DROP,
        {
            "circuit.voltage_drop_percent": 100.0 * volts / 230.0,
            "supply.voltage_drop_limit_percent": limit_percent,
        },
        verdict,
        demand=exactly(pytest.approx(100.0 * printed_v / 230.0, rel=5e-3), "percent"),
        limit=percent(limit_percent),
    )


VALUES = (
    PublishedValue(
        "WE-36",
        "2.5 mm2 at 18 mV/A/m, 10 A, 40 m: 7.20 V, 3.13 %; too much for lighting, allowed for other loads",
        SOURCE,
        "Appendix 4",
        "derived",
        (
            circuit("18 mV/A/m, 10 A, 40 m", 18.0, 1, 10.0, 40.0, "marginal"),
            share("all at the end, lighting", AT_END_V, 7.20, 3.0, "marginal"),
            share("all at the end, other loads", AT_END_V, 7.20, 5.0, "works"),
        ),
    ),
    PublishedValue(
        "WE-69",
        "10 luminaires of 0.2 A at a pitch of 5 m on 29 mV/A/m: 1.595 V, 0.69 %",
        SOURCE,
        "Appendix 4 with the sum of a string of equal loads",
        "derived",
        (
            share("at the points", TEN_POINTS_V, 1.595, 3.0, "works"),
            share("against 0.69 %", TEN_POINTS_V, 1.595, 0.69, "marginal"),
            # The circuit's bounds hold it: half of 2.9 V at 20 degrees and all of it at 70.
            circuit("within the bounds of the circuit", 29.0, 10, 0.2, 50.0, "works"),
        ),
    ),
)


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []
