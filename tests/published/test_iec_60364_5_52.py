"""IEC 60364-5-52 Annex G, voltage drop; read in a public text that reproduces the annex.

Its formula takes 0.0225 ohm mm2/m for copper in service; at cos phi 1 the reactance does not count.
"""

from __future__ import annotations

import pytest

from compat.model.verdicts import Verdict
from compat.physics.cable import drop_at_end_v
from tests.published.mains_parts import CABLES, drop, on_cable, on_made_cable, percent
from tests.published.published import (
    AnyTrial,
    PublishedValue,
    RuleTrial,
    Surroundings,
    Trial,
    all_trials,
    drivers,
    exactly,
    label,
)
from tests.published.running import ToldByTrial, differences

SOURCE = "IEC 60364-5-52 Annex G"
RULE = "voltage-drop-above-limit"
# 1.2 times this resistance is that of the annex for 1.5 mm2, 0.0225/1.5 ohm/m.
ANNEX_1_5_MM2 = 12.5


def circuit(
    name: str,
    around: Surroundings,
    metres: float,
    current_a: float,
    volts: tuple[float, float],
    limit_percent: float,
    verdict: Verdict,
) -> Trial:
    """A circuit by its volts, spread at 20 and at the end at 70 degrees Celsius."""
    return Trial(
        name,
        RULE,
        (drivers(1, input_current_a=current_a),),
        {"method": "switched"},
        verdict,
        {"cable_length_m": metres},
        demand=drop(*volts),
        limit=percent(limit_percent),
        around=around,
    )


def share(name: str, volts: float, printed_volts: float, limit: float, verdict: Verdict) -> RuleTrial:
    """A drop computed by the program beside the one of the source."""
    return RuleTrial(
        name,
        RULE,
        {"circuit.voltage_drop_percent": 100.0 * volts / 230.0, "supply.voltage_drop_limit_percent": limit},
        verdict,
        demand=exactly(pytest.approx(100.0 * printed_volts / 230.0, rel=5e-3), "percent"),
        limit=percent(limit),
    )


VALUES = (
    PublishedValue(
        "M3.3 type A",
        "lighting on a public supply: at most 3 %",
        SOURCE,
        "Table G.52.1, type A",
        "second_hand",
        (
            # 2 x 14.52 ohm/km x 2.4 A reach 6.9 V at 99.0 m.
            circuit("3 % in the worst case", on_cable(CABLES[1.5]), 99.0, 2.4, (2.875, 6.9), 3.0, "works"),
            circuit("just more", on_cable(CABLES[1.5]), 99.1, 2.4, (2.878, 6.907), 3.0, "marginal"),
            # 0.005 % for each metre beyond 100 m, at most 0.5 %: 8.05 V at 277.2 m and 1 A.
            circuit("3.5 % of a long run", on_cable(CABLES[1.5]), 277.2, 1.0, (3.354, 8.05), 3.5, "works"),
            circuit("more than that", on_cable(CABLES[1.5]), 277.5, 1.0, (3.358, 8.0586), 3.5, "marginal"),
            circuit("cold 3.5 %", on_cable(CABLES[1.5]), 667.0, 1.0, (8.071, 19.37), 3.5, "marginal"),
        ),
    ),
    PublishedValue(
        "M3.3 type B",
        "lighting on a private low-voltage supply: at most 6 %",
        SOURCE,
        "Table G.52.1, type B",
        "second_hand",
        (
            circuit(
                "5.9 %",
                on_cable(CABLES[1.5], voltage_drop_limit_percent=6),
                467.0,
                1.0,
                (5.651, 13.562),
                6.0,
                "works",
            ),
            circuit(
                "6.1 %",
                on_cable(CABLES[1.5], voltage_drop_limit_percent=6),
                483.0,
                1.0,
                (5.844, 14.026),
                6.0,
                "marginal",
            ),
        ),
    ),
    PublishedValue(
        "WE-38",
        "2 x 0.0225/S: 30.0, 18.0 and 11.25 mV/A/m for 1.5, 2.5 and 4 mm2, within 4 % of the tables",
        SOURCE,
        "formula of the annex beside BS 7671 Appendix 4",
        "derived",
        tuple(
            Trial(
                f"{area} mm2, 100 m, 1 A",
                RULE,
                (drivers(1, input_current_a=1.0),),
                {"method": "switched"},
                "works",
                {"cable_length_m": 100.0},
                demand=drop(millivolts / 24.0, millivolts / 10.0, rel=0.04),
                around=on_cable(CABLES[area]),
            )
            for area, millivolts in ((1.5, 30.0), (2.5, 18.0), (4.0, 11.25))
        ),
    ),
    PublishedValue(
        "WE-40",
        "1.5 mm2, 20 m, 16 A, cos phi 1: 9.60 V, which is 4.17 %",
        SOURCE,
        "formula of the annex",
        "derived",
        (
            circuit("public supply", on_made_cable(ANNEX_1_5_MM2), 20.0, 16.0, (4.0, 9.6), 3.0, "marginal"),
            circuit(
                "private supply",
                on_made_cable(ANNEX_1_5_MM2, voltage_drop_limit_percent=6),
                20.0,
                16.0,
                (4.0, 9.6),
                6.0,
                "works",
            ),
            share("all at the end", drop_at_end_v(15.0, 20.0, 16.0), 9.60, 4.17, "marginal"),
        ),
    ),
)


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []
