"""IEC 63129, inrush of lighting products: one page of its clause 7.3.1 and its contents were seen."""

from __future__ import annotations

import pytest

from compat.model.values import Interval
from compat.model.verdicts import Verdict
from compat.physics.inrush_circuit import Group, SourceRange, StatedPulse, candidates_of, circuit_pulse
from tests.published.mains_parts import RELAY, amperes, behind, inrush
from tests.published.published import (
    AnyTrial,
    Figure,
    PublishedValue,
    RuleTrial,
    Trial,
    Within,
    all_trials,
    drivers,
    label,
)
from tests.published.running import ToldByTrial, differences

SOURCE = "IEC 63129:2020"
TEST = SourceRange(Interval(0.5, 0.5), Interval(100e-6, 100e-6))


def at_crest(tested_a: float, capacitor_v: float, crest_v: float) -> Interval:
    """A product tested with a capacitor charged to this voltage, on a supply of another crest."""
    stated = StatedPulse(Interval(tested_a, tested_a), Interval(200e-6, 200e-6), capacitor_v, TEST)
    return circuit_pulse(Interval(crest_v, crest_v), TEST, [Group(candidates_of(stated), 1)]).peak_a


def by_the_method(name: str, withstood_a: float, verdict: Verdict) -> RuleTrial:
    """A relay and the peak that the test gives."""
    peak = at_crest(50.0, 300.0, 325.0)
    return RuleTrial(
        name,
        "inrush-above-peak-withstood",
        {
            "output.method": "switched",
            "output.switches_mains": True,
            "circuit.input_characters": ["capacitive"],
            "circuit.group_inrush_peak_a": [peak.low, peak.high],
            "output.inrush_peak_max_a": withstood_a,
        },
        verdict,
        demand=Figure(Within(0.97 * 54.17, 54.17), pytest.approx(54.17, abs=0.005), "a"),
    )


VALUES = (
    PublishedValue(
        "WE-08",
        "50 A with 300 V on the capacitor are 54.17 A at 325 V",
        SOURCE,
        "7.3.1 h): 325 V x I_max / U_max",
        "derived",
        (
            by_the_method("a relay for 54.2 A", 54.2, "works"),
            by_the_method("a relay for 54 A", 54.0, "marginal"),
            by_the_method("a relay for 52 A", 52.0, "fails"),
        ),
    ),
    PublishedValue(
        "M2.1 325 V",
        "the test is made with 325 V, the crest of 230 V",
        SOURCE,
        "7.3.1",
        "verified",
        (
            # 0.5 ohm and a large capacitor: the peak nears crest / resistance, 650.5 A.
            Trial(
                "a driver that draws nearly the short-circuit peak",
                "inrush-above-peak-withstood",
                (inrush(1, 640.0, 4000.0, 0.5, 10.0),),
                {**RELAY, "inrush_peak_max_a": 650.6},
                "works",
                demand=Figure(Within(0.0, 640.0), pytest.approx(640.0, rel=1e-3), "a"),
                around=behind(0.5, 10.0),
            ),
            Trial(
                "a hundred of them cannot draw more than it",
                "inrush-above-peak-withstood",
                (inrush(100, 640.0, 4000.0, 0.5, 10.0),),
                {**RELAY, "inrush_peak_max_a": 650.6},
                "works",
                demand=Figure(Within(0.0, 650.54), pytest.approx(650.54, rel=2e-3), "a"),
                around=behind(0.5, 10.0),
            ),
        ),
    ),
    PublishedValue(
        "M2.1 warm restart",
        "the declared pulse is that with limiters at ambient temperature, so a warm restart is worse",
        SOURCE,
        "7.3.1 c)",
        "verified",
        (
            Trial(
                "cold",
                "inrush-releases-breaker",
                (inrush(4, 28.0, 387.0, 0.8, 100.0, load_type="constant_current_driver"),),
                {"method": "switched"},
                "works",
                demand=Figure(Within(80.0, 88.0), Within(84.0, 88.0), "a"),
                around=behind(0.8, 100.0, "C16"),
            ),
            # Four times 47 uF without series resistance, 0.8 ohm, 100 uH, crest of 253 V: damping 0.548,
            # 357.8 V x sqrt(188 uF / 100 uH) x exp(-0.548 acos(0.548) / 0.836) = 256 A.
            Trial(
                "after a short interruption",
                "inrush-after-short-interruption",
                (inrush(4, 28.0, 387.0, 0.8, 100.0, load_type="constant_current_driver"),),
                {"method": "switched"},
                "marginal",
                circuit={"hot_restart_wanted": True},
                demand=Figure(Within(80.0, 88.0), Within(223.0, 262.0), "a"),
                around=behind(0.8, 100.0, "C16"),
            ),
            Trial(
                "a lamp with a fixed resistor",
                "inrush-after-short-interruption",
                (inrush(4, 28.0, 387.0, 0.8, 100.0, load_type="integral_lamp"),),
                {"method": "switched"},
                None,
                around=behind(0.8, 100.0, "C16"),
            ),
        ),
    ),
    PublishedValue(
        "M2.1 several products",
        "several products have a procedure of their own: not so many times the peak of one",
        SOURCE,
        "7.3.2, heading",
        "verified",
        (
            Trial(
                "10 drivers of 89 A on a relay for 400 A",
                "inrush-above-peak-withstood",
                (inrush(10, 89.0, 101.0, 0.8, 100.0),),
                {**RELAY, "inrush_peak_max_a": 400},
                "works",
                limit=amperes(400.0),
                around=behind(0.8, 100.0),
            ),
        ),
    ),
    PublishedValue(
        "M2.1 not stated",
        "peak and duration are what a product is to state",
        SOURCE,
        "scope",
        "verified",
        (
            Trial(
                "a peak without its duration",
                "inrush-above-peak-withstood",
                (drivers(1, input_character="capacitive", inrush_peak_a=89),),
                {**RELAY, "inrush_peak_max_a": 400},
                "unproven",
            ),
        ),
    ),
)


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []
