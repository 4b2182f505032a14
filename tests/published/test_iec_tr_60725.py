"""IEC TR 60725, reference impedance of the public supply; its abstract was read, what follows is computed."""

from __future__ import annotations

import pytest

from compat.model.values import Interval
from compat.model.verdicts import Verdict
from compat.physics.cable import drop_at_end_v
from compat.physics.source_impedance import source_of_fault_current
from tests.published.mains_parts import REFERENCE_SOURCE, RELAY, amperes, behind, inrush
from tests.published.published import (
    AnyTrial,
    Figure,
    PublishedValue,
    RuleTrial,
    Surroundings,
    Trial,
    Within,
    all_trials,
    exactly,
    label,
)
from tests.published.running import ToldByTrial, differences

SOURCE = "IEC TR 60725:1981"
ABSTRACT = "abstract: 0.4 ohm and 0.25 ohm at 50 Hz"
# 487.6 A at 230 V and a reactance of 0.25/0.4 of the resistance.
BY_FAULT_CURRENT = source_of_fault_current(230.0, Interval(487.6, 487.6), Interval(0.625, 0.625), 50.0)
COMPUTED = behind(BY_FAULT_CURRENT.resistance_ohm.high, BY_FAULT_CURRENT.inductance_h.high * 1e6)
REFERENCE = Surroundings(source_impedance=REFERENCE_SOURCE)
PEAK, HEATING = "inrush-above-peak-withstood", "inrush-heating-above-withstood"


def ten(name: str, around: Surroundings, withstood_a: float, verdict: Verdict) -> Trial:
    """Ten drivers of 10 uF without resistance, each known by its pulse behind 0.4 ohm and 100 uH."""
    return Trial(
        name,
        PEAK,
        (inrush(10, 93.49, 66.3, 0.4, 100.0),),
        {**RELAY, "inrush_peak_max_a": withstood_a},
        verdict,
        demand=Figure(Within(98.0, 103.65), pytest.approx(103.65, rel=3e-3), "a"),
        limit=amperes(withstood_a),
        around=around,
    )


def heated(name: str, a2s: float, width_us: float, verdict: Verdict) -> Trial:
    """The same drivers on a relay that withstands a heating, or any peak for a width."""
    return Trial(
        name,
        HEATING,
        (inrush(10, 93.49, 66.3, 0.4, 100.0),),
        {**RELAY, "inrush_peak_max_a": 1000, "inrush_width_max_us": width_us, "inrush_i2t_max_a2s": a2s},
        verdict,
        around=REFERENCE,
    )


AGAINST: tuple[tuple[float, Verdict], ...] = ((1.73, "marginal"), (1.74, "works"))

VALUES = (
    PublishedValue(
        "WE-09",
        "0.4 ohm and 0.25 ohm at 50 Hz: 0.4717 ohm, 795.8 uH, 487.6 A at 230 V",
        SOURCE,
        ABSTRACT,
        "derived",
        (
            ten("the source of the dataset", REFERENCE, 104.0, "works"),
            ten("the source from its fault current", COMPUTED, 104.0, "works"),
        ),
    ),
    PublishedValue(
        "WE-10",
        "10 A without phase shift through 0.4 ohm drop 4.0 V, 1.74 % of 230 V",
        SOURCE,
        ABSTRACT,
        "derived",
        tuple(
            RuleTrial(
                f"against {limit} %",
                "voltage-drop-above-limit",
                {
                    # 10 m of 20 ohm/km, out and back, are 0.4 ohm.
                    "circuit.voltage_drop_percent": 100.0 * drop_at_end_v(20.0, 10.0, 10.0) / 230.0,
                    "supply.voltage_drop_limit_percent": limit,
                },
                verdict,
                demand=exactly(pytest.approx(1.74, rel=1e-3), "percent"),
            )
            for limit, verdict in AGAINST
        ),
    ),
    PublishedValue(
        "WE-12",
        "100 uF behind it: 103.65 A, 591.3 us above half the peak, 4.764 A2s",
        SOURCE,
        "pulse of a step onto R, L and C in series",
        "derived",
        (
            ten("a relay for 103 A", REFERENCE, 103.0, "marginal"),
            ten("a relay for 98 A", REFERENCE, 98.0, "fails"),
            heated("4.79 A2s", 4.79, 1.0, "works"),
            heated("4.70 A2s", 4.70, 1.0, "marginal"),
            heated("594 us", 0.001, 594.0, "works"),
            heated("588 us", 0.001, 588.0, "fails"),
        ),
    ),
    PublishedValue(
        "M2.5 nature",
        "a statistical figure: most homes have less impedance, which gives a larger inrush",
        SOURCE,
        "known of the report; its body was not read",
        "memory",
        (
            Trial(
                "the same drivers in an ordinary house",
                PEAK,
                (inrush(10, 93.49, 66.3, 0.4, 100.0),),
                {**RELAY, "inrush_peak_max_a": 104.0},
                "marginal",
                demand=Figure(Within(90.0, 104.0), Within(150.0, 1000.0), "a"),
                around=Surroundings(source_impedance="Z0003"),
            ),
        ),
    ),
)


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []


def test_source_of_the_fault_current() -> None:
    assert BY_FAULT_CURRENT.resistance_ohm.high == pytest.approx(0.4, rel=1e-3)
    assert BY_FAULT_CURRENT.inductance_h.high == pytest.approx(795.8e-6, rel=1e-3)
