"""BS 7671: voltage drop tables, residual-current devices and protective-conductor currents.

Read in public guidance, textbooks and forums that restate it; the standard itself was not seen.
"""

from __future__ import annotations

import pytest

from compat.model.verdicts import Verdict
from compat.physics.cable import drop_at_end_v, drop_at_points_v
from tests.published.mains_parts import CABLES, SUPPLY_UK, drop, on_cable, on_made_cable, percent
from tests.published.published import (
    AnyTrial,
    Drivers,
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

SOURCE = "BS 7671"
DROP = "voltage-drop-above-limit"
SHARE = "protective-current-above-rcd-share"
HIGH = "high-protective-conductor-current"
# Millivolts for each ampere and metre at 70 degrees by area in mm2.
APPENDIX_4 = {1.5: 29.0, 2.5: 18.0, 4.0: 11.0, 6.0: 7.3, 10.0: 4.4}


def class_1(count: int, each_ma: float) -> tuple[Drivers, ...]:
    """Class I luminaires with a protective-conductor current each."""
    return (drivers(count, insulation_class="class_1", protective_conductor_current_ma=each_ma),)


def residual(name: str, count: int, each_ma: float, rated_ma: float, limit_ma: float, sum_ma: float) -> Trial:
    """So many luminaires behind a residual-current device."""
    return Trial(
        name,
        SHARE,
        class_1(count, each_ma),
        {"method": "switched"},
        "works" if sum_ma <= limit_ma else "marginal",
        demand=exactly(pytest.approx(sum_ma), "ma"),
        limit=exactly(pytest.approx(limit_ma), "ma"),
        around=Surroundings(traits={"supply": {"rcd_rated_current_ma": rated_ma, "rcd_type": "a"}}),
    )


def behind_type(kind: str, character: str, verdict: Verdict | None) -> Trial:
    """A load behind a residual-current device of this type."""
    return Trial(
        f"{character} behind type {kind.upper()}",
        "rcd-type-does-not-suit",
        (drivers(1, input_character=character),),
        {"method": "switched"},
        verdict,
        around=Surroundings(traits={"supply": {"rcd_type": kind}}),
    )


def table(area: float, millivolts: float) -> PublishedValue:
    """One size of the table: its figure is that of IEC 60228 at 70 degrees, rounded."""
    return PublishedValue(
        f"M3.3 {area:g} mm2",
        f"{area:g} mm2: {millivolts:g} mV/A/m",
        SOURCE,
        "Appendix 4, Tables 4D1B, 4D2B and 4D5",
        "second_hand",
        (
            Trial(
                "100 m, 1 A",
                DROP,
                (drivers(1, input_current_a=1.0),),
                {"method": "switched"},
                "works",
                {"cable_length_m": 100.0},
                demand=drop(millivolts / 24.0, millivolts / 10.0, rel=0.014),
                around=on_cable(CABLES[area]),
            ),
        ),
    )


def length(millivolts: float, current_a: float, metres: float, verdict: Verdict) -> Trial:
    """A circuit with a load at its end on a cable with this figure at 70 degrees."""
    volts = millivolts / 1000.0 * current_a * metres
    return Trial(
        f"{millivolts:g} mV/A/m, {current_a:g} A, {metres:g} m",
        DROP,
        (drivers(1, input_current_a=current_a),),
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


VOLTAGE_DROP = (
    *(table(area, millivolts) for area, millivolts in APPENDIX_4.items()),
    PublishedValue(
        "M3.3 1 mm2",
        "1 mm2: 44 mV/A/m",
        SOURCE,
        "Appendix 4, not seen again",
        "memory",
        (
            Trial(
                "100 m, 1 A",
                DROP,
                (drivers(1, input_current_a=1.0),),
                {"method": "switched"},
                "works",
                {"cable_length_m": 100.0},
                demand=drop(44.0 / 24.0, 4.4, rel=0.014),
                around=on_cable(CABLES[1.0]),
            ),
        ),
    ),
    PublishedValue(
        "M3.3 6.9 V",
        "3 % for lighting is 6.9 V at 230 V, 5 % for other loads is 11.5 V",
        SOURCE,
        "Appendix 4, Table 4Ab",
        "second_hand",
        (
            share("6.9 V", 6.9, 6.9, 3.0, "works"),
            share("6.95 V", 6.95, 6.95, 3.0, "marginal"),
            share("11.5 V", 11.5, 11.5, 5.0, "works"),
            share("11.55 V", 11.55, 11.55, 5.0, "marginal"),
        ),
    ),
    PublishedValue(
        "WE-36",
        "2.5 mm2 at 18 mV/A/m, 10 A, 40 m: 7.20 V, 3.13 %; too much for lighting, allowed for other loads",
        SOURCE,
        "Appendix 4",
        "derived",
        (
            length(18.0, 10.0, 40.0, "marginal"),
            share("all at the end, lighting", drop_at_end_v(9.0, 40.0, 10.0), 7.20, 3.0, "marginal"),
            share("all at the end, other loads", drop_at_end_v(9.0, 40.0, 10.0), 7.20, 5.0, "works"),
        ),
    ),
    PublishedValue(
        "WE-37",
        "6.9 V: 1.5 mm2 at 6 A reaches 39.7 m, at 10 A 23.8 m; 2.5 mm2 at 10 A 38.3 m",
        SOURCE,
        "Appendix 4; rounded to 0.1 m",
        "derived",
        (
            length(29.0, 6.0, 39.6, "works"),
            length(29.0, 6.0, 39.8, "marginal"),
            length(29.0, 10.0, 23.7, "works"),
            length(29.0, 10.0, 23.9, "marginal"),
            length(18.0, 10.0, 38.3, "works"),
            length(18.0, 10.0, 38.4, "marginal"),
        ),
    ),
    PublishedValue(
        "WE-69",
        "10 luminaires of 0.2 A at a pitch of 5 m on 29 mV/A/m: 1.595 V, 0.69 %",
        SOURCE,
        "Appendix 4 with the sum of a string of equal loads",
        "derived",
        (
            share("at the points", drop_at_points_v(14.5, 5.0, 0.2, 10), 1.595, 3.0, "works"),
            share("against 0.69 %", drop_at_points_v(14.5, 5.0, 0.2, 10), 1.595, 0.69, "marginal"),
            # The circuit's bounds hold it: half of 2.9 V at 20 degrees and all of it at 70.
            Trial(
                "within the bounds of the circuit",
                DROP,
                (drivers(10, input_current_a=0.2),),
                {"method": "switched"},
                "works",
                {"cable_length_m": 50.0},
                demand=drop(2.9 / 2.4, 2.9),
                around=on_made_cable(29.0 / 2.4),
            ),
        ),
    ),
)

PROTECTION = (
    PublishedValue(
        "WE-44",
        "30 % of 30 mA is 9 mA: 18 drivers of 0.5 mA, 12 of 0.7 mA, 2 of 3.5 mA",
        SOURCE,
        "531.3.2",
        "second_hand",
        (
            residual("18 of 0.5 mA", 18, 0.5, 30, 9.0, 9.0),
            residual("19 of 0.5 mA", 19, 0.5, 30, 9.0, 9.5),
            residual("12 of 0.7 mA", 12, 0.7, 30, 9.0, 8.4),
            residual("13 of 0.7 mA", 13, 0.7, 30, 9.0, 9.1),
            residual("2 of 3.5 mA", 2, 3.5, 30, 9.0, 7.0),
            residual("3 of 3.5 mA", 3, 3.5, 30, 9.0, 10.5),
        ),
    ),
    PublishedValue(
        "WE-45",
        "30 % of 100 mA and of 300 mA: 30 mA and 90 mA",
        SOURCE,
        "531.3.2",
        "second_hand",
        (
            residual("30 mA on 100 mA", 60, 0.5, 100, 30.0, 30.0),
            residual("30.5 mA on 100 mA", 61, 0.5, 100, 30.0, 30.5),
            residual("90 mA on 300 mA", 180, 0.5, 300, 90.0, 90.0),
            residual("90.5 mA on 300 mA", 181, 0.5, 300, 90.0, 90.5),
        ),
    ),
    PublishedValue(
        "WE-46",
        "30 luminaires of 0.5 mA: 15 mA is above 10 mA and above 9 mA",
        SOURCE,
        "543.7 and 531.3.2",
        "second_hand",
        (
            Trial(
                "high protective-conductor current",
                HIGH,
                class_1(30, 0.5),
                {"method": "switched"},
                "marginal",
                demand=exactly(15.0, "ma"),
                limit=exactly(10.0, "ma"),
                margin_percent=pytest.approx(-50.0),
            ),
            residual("on 30 mA", 30, 0.5, 30, 9.0, 15.0),
        ),
    ),
    PublishedValue(
        "M3.5 10 mA",
        "above 10 mA of a circuit a high-integrity protective connection is needed",
        SOURCE,
        "543.7",
        "second_hand",
        (
            Trial(
                "10 mA",
                HIGH,
                class_1(20, 0.5),
                {"method": "switched"},
                "works",
                demand=exactly(10.0, "ma"),
                limit=exactly(10.0, "ma"),
                margin_percent=0.0,
            ),
            Trial(
                "10.5 mA",
                HIGH,
                class_1(21, 0.5),
                {"method": "switched"},
                "marginal",
                demand=exactly(10.5, "ma"),
                limit=exactly(10.0, "ma"),
                margin_percent=pytest.approx(-5.0),
            ),
        ),
    ),
    PublishedValue(
        "M3.5 homes",
        "circuits with luminaires in homes have a device of 30 mA",
        SOURCE,
        "411.3.4",
        "second_hand",
        (
            Trial(
                "supply of the United Kingdom, 18 of 0.5 mA",
                SHARE,
                class_1(18, 0.5),
                {"method": "switched"},
                "works",
                demand=exactly(9.0, "ma"),
                limit=exactly(pytest.approx(9.0), "ma"),
                around=Surroundings(supply=SUPPLY_UK),
            ),
            Trial(
                "supply of the United Kingdom, 19 of 0.5 mA",
                SHARE,
                class_1(19, 0.5),
                {"method": "switched"},
                "marginal",
                demand=exactly(9.5, "ma"),
                limit=exactly(pytest.approx(9.0), "ma"),
                around=Surroundings(supply=SUPPLY_UK),
            ),
        ),
    ),
    PublishedValue(
        "M5 S18",
        "type AC only where no residual direct current can flow; else type A, F or B",
        SOURCE,
        "531.3.3",
        "second_hand",
        (
            behind_type("ac", "capacitive", "fails"),
            behind_type("a", "capacitive", "works"),
            behind_type("f", "capacitive", "works"),
            behind_type("b", "capacitive", "works"),
            behind_type("ac", "resistive", None),
        ),
    ),
)
VALUES = VOLTAGE_DROP + PROTECTION


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []
