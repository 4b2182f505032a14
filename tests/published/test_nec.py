"""NEC (NFPA 70), as quoted and restated in public forums of electricians; the code itself was not seen."""

from __future__ import annotations

from typing import Any

import pytest

from compat.model.verdicts import Verdict
from tests.published.mains_parts import (
    SUPPLY_120_V,
    SUPPLY_277_V,
    amperes,
    drop,
    on_cable,
    percent,
)
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

SOURCE = "NEC (NFPA 70)"
STEADY = "steady-current-above-breaker"
FORWARD = {"method": "forward_phase", "switching_element": "triac", "switches_mains": True}
GENERAL_USE = {**FORWARD, "listed_load_types": ["incandescent"]}


def listed(*load_types: str) -> dict[str, object]:
    """A dimmer listed for these load types."""
    return {**FORWARD, "listed_load_types": list(load_types)}


def continuous(
    name: str, supply: str, rated_a: float, watts: float, current_a: float, limit_a: float
) -> Trial:
    """Lighting of power factor 1 that stays on, against a breaker."""
    return Trial(
        name,
        STEADY,
        (drivers(1, input_power_w=watts, power_factor=1),),
        {"method": "switched"},
        "works" if current_a <= limit_a else "fails",
        demand=amperes(pytest.approx(current_a, rel=1e-4)),
        limit=amperes(pytest.approx(limit_a)),
        around=Surroundings(supply=supply, traits={"breaker": {"rated_current_a": rated_a}}),
    )


def load(name: str, rule: str, load_type: str, output: dict[str, object], verdict: Verdict | None) -> Trial:
    """A load of this type on a dimmer."""
    methods = ["forward_phase", "switched"]
    return Trial(name, rule, (drivers(1, load_type=load_type, methods=methods),), output, verdict)


REACH_3_PERCENT: tuple[tuple[float, Verdict], ...] = ((123.9, "works"), (124.1, "marginal"))
RATED_5_A: tuple[tuple[float, Verdict, Any], ...] = (
    (5.0, "works", 0.0),
    (5.05, "hazard", pytest.approx(-1.0)),
)
MADE_FOR_120_V: tuple[tuple[str, float, Verdict], ...] = (
    (SUPPLY_120_V, 120.0, "works"),
    (SUPPLY_277_V, 277.0, "hazard"),
)
NEUTRALS: tuple[tuple[str, Any, Verdict], ...] = (
    ("a neutral of its own", False, "works"),
    ("a common neutral", True, "hazard"),
    ("not known", "unknown", "unproven"),
)

VALUES = (
    PublishedValue(
        "WE-42",
        "80 % of 20 A is 16 A: 1920 W at 120 V, 4432 VA at 277 V; of 15 A it is 12 A",
        SOURCE,
        "210.20(A): 125 % of a continuous load",
        "second_hand",
        (
            continuous("1920 W at 120 V", SUPPLY_120_V, 20, 1920, 16.0, 16.0),
            continuous("1932 W at 120 V", SUPPLY_120_V, 20, 1932, 16.1, 16.0),
            continuous("4432 W at 277 V", SUPPLY_277_V, 20, 4432, 16.0, 16.0),
            continuous("4459.7 W at 277 V", SUPPLY_277_V, 20, 4459.7, 16.1, 16.0),
            continuous("1440 W on 15 A", SUPPLY_120_V, 15, 1440, 12.0, 12.0),
            continuous("1452 W on 15 A", SUPPLY_120_V, 15, 1452, 12.1, 12.0),
        ),
    ),
    PublishedValue(
        "M3.3 NEC",
        "3 % at the farthest outlet, a recommendation that is not enforceable",
        SOURCE,
        "210.19(A), informational note",
        "second_hand",
        tuple(
            # 2 x 12.1 ohm/km x 1.2 x 1 A: 3.6 V of 120 V at 123.97 m.
            Trial(
                f"{metres} m at 120 V",
                "voltage-drop-above-limit",
                (drivers(1, input_current_a=1.0),),
                {"method": "switched"},
                verdict,
                {"cable_length_m": metres},
                demand=drop(0.0121 * metres, 0.02904 * metres, 120.0),
                limit=percent(3.0),
                around=on_cable(supply=SUPPLY_120_V),
            )
            for metres, verdict in REACH_3_PERCENT
        ),
    ),
    PublishedValue(
        "M1.2 404.14(E) motor",
        "a dimmer not listed for it does not control a motor",
        SOURCE,
        "404.14(E)",
        "second_hand",
        (
            load("general-use dimmer", "motor-on-phase-cut", "motor", GENERAL_USE, "hazard"),
            load("listed for motors", "motor-on-phase-cut", "motor", listed("motor"), "works"),
            load("a switch", "motor-on-phase-cut", "motor", {"method": "switched"}, None),
        ),
    ),
    PublishedValue(
        "M1.2 404.14(E) fluorescent",
        "a dimmer not listed for it does not control a fluorescent lamp",
        SOURCE,
        "404.14(E)",
        "second_hand",
        (
            load("general-use dimmer", "fluorescent-on-phase-cut", "fluorescent", GENERAL_USE, "hazard"),
            load("listed", "fluorescent-on-phase-cut", "fluorescent", listed("fluorescent"), "works"),
        ),
    ),
    PublishedValue(
        "M1.2 404.14(E) transformer",
        "a dimmer not listed for it does not control a magnetic transformer",
        SOURCE,
        "404.14(E)",
        "second_hand",
        (
            load(
                "general-use dimmer",
                "magnetic-transformer-on-unlisted-forward-phase",
                "magnetic_transformer",
                GENERAL_USE,
                "hazard",
            ),
            load(
                "listed",
                "magnetic-transformer-on-unlisted-forward-phase",
                "magnetic_transformer",
                listed("incandescent", "magnetic_transformer"),
                "works",
            ),
        ),
    ),
    PublishedValue(
        "M1.2 404.14(E) other loads",
        "general-use dimmers control incandescent luminaires unless listed for other loads",
        SOURCE,
        "404.14(E)",
        "second_hand",
        (
            load("LED, not listed", "not-listed-load-type", "integral_lamp", GENERAL_USE, "marginal"),
            load("LED, listed", "not-listed-load-type", "integral_lamp", listed("integral_lamp"), "works"),
            load("incandescent", "not-listed-load-type", "incandescent", GENERAL_USE, None),
        ),
    ),
    PublishedValue(
        "M1.2 404.14(F) current",
        "electronic control switches are for loads up to their ampere rating",
        SOURCE,
        "404.14(F), 2023",
        "second_hand",
        tuple(
            Trial(
                f"{current_a} A on 5 A",
                "current-above-rating",
                (drivers(1, input_current_a=current_a),),
                {"method": "switched", "switches_mains": True, "max_current_a": 5},
                verdict,
                demand=amperes(current_a),
                limit=amperes(5.0),
                margin_percent=margin,
            )
            for current_a, verdict, margin in RATED_5_A
        ),
    ),
    PublishedValue(
        "M1.2 404.14(F) voltage",
        "electronic control switches are marked with a voltage and used at it",
        SOURCE,
        "404.14(F), 2023",
        "second_hand",
        tuple(
            Trial(
                f"a dimmer for 120 V on {supply}",
                "output-voltage-range-exceeded",
                (drivers(1),),
                {**FORWARD, "input_voltage_min_v": 120, "input_voltage_max_v": 120},
                verdict,
                demand=exactly(volts, "v"),
                limit=exactly(pytest.approx(132.0), "v"),
                around=Surroundings(supply=supply),
            )
            for supply, volts, verdict in MADE_FOR_120_V
        ),
    ),
    PublishedValue(
        "M5 S10",
        "circuits that share a neutral are to be disconnected together",
        SOURCE,
        "210.4(B), 2008",
        "second_hand",
        tuple(
            RuleTrial(
                name,
                "neutral-shared-on-dimmed-circuit",
                {"output.method": "forward_phase", "circuit.neutral_shared": shared},
                verdict,
            )
            for name, shared, verdict in NEUTRALS
        ),
    ),
)


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []
