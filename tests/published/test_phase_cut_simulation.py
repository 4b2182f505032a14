"""Current of inputs with a capacitor behind a phase cut, from our own simulations of seven inputs.

Ratios to the uncut current. The engine takes the largest over the angles, with a power that follows the
cut; the ratios at full power come from the physics and are judged by a rule.
"""

from __future__ import annotations

import pytest

from compat.model.values import Interval
from compat.model.verdicts import Verdict
from compat.physics.phase_cut import Edge
from compat.physics.phase_cut_current import InputType, load_share, peak_ratio, rms_ratio
from tests.published.mains_parts import amperes
from tests.published.published import (
    AnyTrial,
    Drivers,
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

SOURCE = "Derived here"
FORWARD, REVERSE = "phase-cut-current-above-rating", "reverse-phase-current-above-rating"
PEAK = "repetitive-peak-above-withstood"
DIMMER = {"method": "forward_phase", "listed_load_types": ["incandescent"]}


def lamps(count: int, input_type: str) -> tuple[Drivers, ...]:
    """LED lamps of 0.1 A each."""
    return (
        drivers(
            count,
            load_type="integral_lamp",
            input_character="capacitive",
            input_type=input_type,
            input_current_a=0.1,
        ),
    )


def kept(
    name: str,
    rule: str,
    input_type: InputType,
    edge: Edge,
    angle: float,
    simulated: tuple[float, float],
    limit_a: float,
    verdict: Verdict,
    spread: float = 1.04,
) -> RuleTrial:
    """1 A of uncut current at full power and this angle; the simulated ratios lie between the ends.

    ``spread`` is by how much the table is wider than the simulated rows at the most.
    """
    of = peak_ratio if rule == PEAK else rms_ratio
    ratio = of(input_type, edge, Interval(angle, angle))
    current = "forward_phase_peak_a" if rule == PEAK else f"{edge}_current_a"
    given = {
        "output.method": edge,
        "circuit.input_characters": ["capacitive"],
        "circuit.load_types": ["integral_lamp"],
        "output.listed_load_types": ["incandescent"],
        f"circuit.{current}": [ratio.low, ratio.high],
        f"output.{'repetitive_peak_max_a' if rule == PEAK else 'max_current_a'}": limit_a,
    }
    low, high = simulated
    demand = Figure(Within(low / spread, low), Within(high, high * spread), "a")
    return RuleTrial(name, rule, given, verdict, demand=demand, limit=amperes(limit_a))


def share(name: str, power_factor: float, ratio: tuple[float, float], part: tuple[float, float]) -> RuleTrial:
    """LED lamps on a dimmer of 100 W whose share for them is computed."""
    found = load_share(Interval(power_factor, power_factor), Interval(*ratio))
    return RuleTrial(
        name,
        "capacitive-load-above-derated-rating",
        {
            "output.method": "forward_phase",
            "output.switches_mains": True,
            "circuit.input_characters": ["capacitive"],
            "circuit.capacitive_power_w": 100.0 * part[0] * 0.98,
            "circuit.other_power_w": 0,
            "output.max_load_w": 100,
            "output.capacitive_share": [found.low, found.high],
        },
        "works",
        limit=Figure(pytest.approx(100.0 * part[0], rel=0.02), pytest.approx(100.0 * part[1], rel=0.02), "w"),
    )


VALUES = (
    PublishedValue(
        "N5 30 and 60 degrees",
        "bulk capacitors: peak and r.m.s. current up to 60 degrees of forward phase as on the whole supply",
        SOURCE,
        "phase-cut table, columns 30 and 60",
        "derived",
        (
            kept("30", FORWARD, "bulk_capacitor", "forward_phase", 30.0, (1.0, 1.0), 1.02, "works"),
            kept("30, peak", PEAK, "bulk_capacitor", "forward_phase", 30.0, (1.0, 1.0), 1.02, "works"),
            kept("30, too little", PEAK, "bulk_capacitor", "forward_phase", 30.0, (1.0, 1.0), 0.98, "fails"),
        ),
    ),
    PublishedValue(
        "N5 75 degrees",
        "bulk capacitors at 75 degrees: peak 1.1 to 5.1 times, r.m.s. 1.06 to 1.76 times the uncut one",
        SOURCE,
        "phase-cut table, column 75; between the columns beside it the widest stands",
        "derived",
        (
            kept("r.m.s.", FORWARD, "bulk_capacitor", "forward_phase", 75.0, (1.06, 1.76), 1.9, "works"),
            kept(
                "r.m.s., too little",
                FORWARD,
                "bulk_capacitor",
                "forward_phase",
                75.0,
                (1.06, 1.76),
                1.0,
                "fails",
            ),
            kept("peak", PEAK, "bulk_capacitor", "forward_phase", 75.0, (1.1, 5.1), 5.3, "works", 1.05),
        ),
    ),
    PublishedValue(
        "N5 90 degrees",
        "bulk capacitors at 90 degrees: peak 1.4 to 9.3 times, r.m.s. 1.21 to 2.57 times the uncut one",
        SOURCE,
        "phase-cut table, column 90",
        "derived",
        (
            kept("r.m.s.", FORWARD, "bulk_capacitor", "forward_phase", 90.0, (1.21, 2.57), 2.7, "works"),
            kept(
                "r.m.s., too little",
                FORWARD,
                "bulk_capacitor",
                "forward_phase",
                90.0,
                (1.21, 2.57),
                1.1,
                "fails",
            ),
            kept("peak", PEAK, "bulk_capacitor", "forward_phase", 90.0, (1.4, 9.3), 9.6, "works"),
            kept(
                "peak, not sure", PEAK, "bulk_capacitor", "forward_phase", 90.0, (1.4, 9.3), 5.0, "marginal"
            ),
        ),
    ),
    PublishedValue(
        "N5 120 degrees",
        "bulk capacitors at 120 degrees: peak 2.1 to 14.4 times, r.m.s. 1.66 to 3.68 times the uncut one",
        SOURCE,
        "phase-cut table, column 120",
        "derived",
        (
            kept("r.m.s.", FORWARD, "bulk_capacitor", "forward_phase", 120.0, (1.66, 3.68), 3.8, "works"),
            kept("peak", PEAK, "bulk_capacitor", "forward_phase", 120.0, (2.1, 14.4), 14.8, "works"),
        ),
    ),
    PublishedValue(
        "N5 reverse phase",
        "bulk capacitors on reverse phase: as uncut to 90 degrees, r.m.s. 1.6 to 1.74 times at 120",
        SOURCE,
        "phase-cut table, columns reverse 30 to 90 and 120",
        "derived",
        (
            kept("60", REVERSE, "bulk_capacitor", "reverse_phase", 60.0, (1.0, 1.0), 1.02, "works"),
            kept("90", REVERSE, "bulk_capacitor", "reverse_phase", 90.0, (1.0, 1.06), 1.1, "works"),
            kept("120", REVERSE, "bulk_capacitor", "reverse_phase", 120.0, (1.6, 1.74), 1.8, "works"),
            kept(
                "120, too little",
                REVERSE,
                "bulk_capacitor",
                "reverse_phase",
                120.0,
                (1.6, 1.74),
                1.5,
                "fails",
            ),
        ),
    ),
    PublishedValue(
        "N5 tiny capacitor",
        "a tiny capacitor on forward phase: peak 20 to 48 times the uncut one, r.m.s. 2.3 to 5.0 times",
        SOURCE,
        "phase-cut table, last row; indicative only",
        "derived",
        (
            kept(
                "75, r.m.s.", FORWARD, "small_capacitor", "forward_phase", 75.0, (4.9, 4.9), 6.0, "works", 1.2
            ),
            kept(
                "90, peak", PEAK, "small_capacitor", "forward_phase", 90.0, (48.0, 48.0), 56.0, "works", 1.2
            ),
            kept(
                "90, too little",
                PEAK,
                "small_capacitor",
                "forward_phase",
                90.0,
                (48.0, 48.0),
                20.0,
                "fails",
                1.2,
            ),
        ),
    ),
    PublishedValue(
        "N5 power follows",
        "with a power that follows the cut: up to 4.7 times the peak and 1.3 times the r.m.s. current",
        SOURCE,
        "text under the phase-cut table, 90 degrees",
        "derived",
        (
            Trial(
                "r.m.s. of 10 lamps",
                FORWARD,
                lamps(10, "bulk_capacitor"),
                {**DIMMER, "max_current_a": 3.7},
                "works",
                demand=Figure(Within(0.98, 1.01), Within(3.5, 3.7), "a"),
            ),
            # Ten of the first table reach 1.33 A, small capacitors of 0.37 uF/W more.
            Trial(
                "r.m.s. of 10 lamps, enough for some",
                FORWARD,
                lamps(10, "bulk_capacitor"),
                {**DIMMER, "max_current_a": 1.4},
                "marginal",
            ),
            Trial(
                "r.m.s. of 10 lamps, too little",
                FORWARD,
                lamps(10, "bulk_capacitor"),
                {**DIMMER, "max_current_a": 0.9},
                "fails",
            ),
            # The crest factor of these inputs is 3.0 to 5.5 (0.58 A / 0.106 A).
            Trial(
                "peak of 10 lamps",
                PEAK,
                lamps(10, "bulk_capacitor"),
                {**DIMMER, "repetitive_peak_max_a": 170},
                "works",
                demand=Figure(Within(2.9, 3.1), Within(30.0 * 5.5, 30.5 * 5.5), "a"),
            ),
        ),
    ),
    PublishedValue(
        "N5 reverse, power follows",
        "with a power that follows the cut, reverse phase never draws more than the whole supply",
        SOURCE,
        "text under the phase-cut table",
        "derived",
        (
            Trial(
                "10 lamps",
                REVERSE,
                lamps(10, "bulk_capacitor"),
                {"method": "reverse_phase", "max_current_a": 1.02},
                "works",
                demand=Figure(Within(0.98, 1.0), Within(1.0, 1.02), "a"),
            ),
            Trial(
                "10 lamps, too little",
                REVERSE,
                lamps(10, "bulk_capacitor"),
                {"method": "reverse_phase", "max_current_a": 0.95},
                "fails",
            ),
        ),
    ),
    PublishedValue(
        "N5 derating",
        "forward phase at 90 degrees, full power: r.m.s. current 4.0 to 5.6 times power by voltage",
        SOURCE,
        "does it explain derating; power factor 0.4 to 0.5 times the ratio",
        "derived",
        (
            share("power factor 0.5, ratio 2.0", 0.5, (2.0, 2.0), (0.25, 0.25)),
            share("power factor 0.45, ratio 1.8 to 2.57", 0.45, (1.8, 2.57), (1 / 5.71, 0.25)),
        ),
    ),
)


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []
