"""ASTM B258, the American wire gauge; its formula and table read in an encyclopaedia.

The resistance is 17.241 ohm mm2/km (annealed copper, second hand) by the cross-section; a published
table agrees.
"""

from __future__ import annotations

import pytest

from compat.physics.cable import (
    copper_resistance,
    drop_at_end_v,
    gauge_cross_section_mm2,
    gauge_diameter_mm,
)
from tests.published.mains_parts import SUPPLY_120_V, drop, on_cable, on_made_cable, percent
from tests.published.published import (
    AnyTrial,
    Figure,
    PublishedValue,
    RuleTrial,
    Trial,
    all_trials,
    drivers,
    exactly,
    label,
)
from tests.published.running import ToldByTrial, differences

SOURCE = "ASTM B258"
RULE = "voltage-drop-above-limit"
CABLE_OF_GAUGE = {20: "C0009", 18: "C0010", 16: "C0011", 14: "C0012", 12: "C0013", 10: "C0014"}
# Gauge: diameter in mm, cross-section in mm2, ohm/km at 20 degrees Celsius, ohm per 1000 ft.
TABLE = {
    10: (2.588, 5.261, 3.277, 0.9988),
    12: (2.053, 3.309, 5.211, 1.588),
    14: (1.628, 2.081, 8.285, 2.525),
    16: (1.291, 1.309, 13.17, 4.016),
    20: (0.812, 0.518, 33.31, 10.15),
}


def circuit(gauge: int, ohm_per_km: float) -> Trial:
    """1 A over 10 m of a cable of the dataset, at 120 V; by 0.02 km of conductor, 1.2 times when warm."""
    return Trial(
        "10 m, 1 A, 120 V",
        RULE,
        (drivers(1, input_current_a=1.0),),
        {"method": "switched"},
        "works",
        {"cable_length_m": 10.0},
        demand=drop(ohm_per_km * 0.01, ohm_per_km * 0.024, 120.0, rel=1e-3),
        limit=percent(3.0),
        around=on_cable(CABLE_OF_GAUGE[gauge], SUPPLY_120_V),
    )


def by_formula(gauge: int, ohm_per_1000_ft: float) -> RuleTrial:
    """1000 ft of the gauge's resistance with 1 A: as many volts for each conductor as ohms."""
    volts = drop_at_end_v(copper_resistance(gauge_cross_section_mm2(gauge)), 304.8, 1.0)
    return RuleTrial(
        "1000 ft by the formula",
        RULE,
        {"circuit.voltage_drop_percent": 100.0 * volts / 120.0, "supply.voltage_drop_limit_percent": 3},
        "works" if 2.0 * ohm_per_1000_ft <= 3.6 else "marginal",
        demand=exactly(pytest.approx(200.0 * ohm_per_1000_ft / 120.0, rel=1e-3), "percent"),
    )


def cross_section(name: str, area_mm2: float, length_m: float, limit_m: float) -> RuleTrial:
    """A control line on this cross-section: 200 m for each mm2."""
    return RuleTrial(
        name,
        "dali-line-cross-section-small-for-length",
        {
            "line.kind": "dali_line",
            "line.dali_voltage_drop_v": 2.5,
            "line.farthest_pair_m": length_m,
            "line.cable_cross_section_mm2": area_mm2,
        },
        "works" if length_m <= limit_m else "marginal",
        demand=exactly(length_m, "m"),
        limit=exactly(pytest.approx(limit_m, rel=1e-3), "m"),
    )


def row(gauge: int, area_mm2: float, ohm_per_km: float, ohm_per_1000_ft: float) -> PublishedValue:
    """One gauge of the table."""
    return PublishedValue(
        f"M3.2 {gauge} AWG",
        f"{gauge} AWG: {area_mm2} mm2, {ohm_per_km} ohm/km, {ohm_per_1000_ft} ohm per 1000 ft",
        SOURCE,
        "table and formula; ohms by 17.241 ohm mm2/km",
        "verified" if gauge in (10, 12, 14) else "derived",
        (
            circuit(gauge, ohm_per_km),
            by_formula(gauge, ohm_per_1000_ft),
            cross_section("as a control line", gauge_cross_section_mm2(gauge), 100.0, 200.0 * area_mm2),
        ),
    )


VALUES = (
    *(row(gauge, *figures[1:]) for gauge, figures in TABLE.items()),
    PublishedValue(
        "WE-32",
        "18 AWG: diameter 1.0237 mm, 0.823 mm2, 20.95 ohm/km (20.94 in a published table)",
        SOURCE,
        "formula and table",
        "verified",
        (
            circuit(18, 20.95),
            by_formula(18, 6.385),
            cross_section("164 m", gauge_cross_section_mm2(18), 164.0, 200.0 * 0.823),
            cross_section("165 m", gauge_cross_section_mm2(18), 165.0, 200.0 * 0.823),
        ),
    ),
    PublishedValue(
        "WE-33",
        "36 AWG is 0.1270 mm and 4/0 is 11.684 mm by definition",
        SOURCE,
        "definition",
        "verified",
        (
            # pi/4 d^2: 0.012668 mm2 and 107.22 mm2.
            cross_section("36 AWG", gauge_cross_section_mm2(36), 2.5, 2.5335),
            cross_section("36 AWG, a little longer", gauge_cross_section_mm2(36), 2.6, 2.5335),
            cross_section("4/0", gauge_cross_section_mm2(-3), 300.0, 21444.0),
        ),
    ),
    PublishedValue(
        "WE-34",
        "200 ft of 8 AWG with two LED luminaires of 0.52 A at 480 V and 0.001308 ohm/ft: 0.272 V, 0.057 %",
        "TxDOT Highway Illumination Manual",
        "calculation example; its inputs are printed, the result is computed from them",
        "derived",
        (
            Trial(
                "as a circuit",
                RULE,
                (drivers(2, input_current_a=0.52),),
                {"method": "switched"},
                "works",
                {"cable_length_m": 60.96},
                # Spread along the run half of 0.272 V; 1.2 times it with a conductor at 70 degrees.
                demand=Figure(
                    pytest.approx(0.057 / 2.0, abs=3e-4), pytest.approx(0.057 * 1.2, abs=6e-4), "percent"
                ),
                around=on_made_cable(2.1457, voltage_v=480),
            ),
            RuleTrial(
                "all at the end, as in the example",
                RULE,
                {
                    "circuit.voltage_drop_percent": 100.0 * drop_at_end_v(2.1457, 60.96, 1.04) / 480.0,
                    "supply.voltage_drop_limit_percent": 3,
                },
                "works",
                demand=exactly(pytest.approx(0.057, abs=5e-4), "percent"),
            ),
        ),
    ),
)


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []


@pytest.mark.parametrize(
    ("gauge", "diameter_mm"),
    [(18, 1.0237), (36, 0.1270), (-3, 11.684), *((gauge, figures[0]) for gauge, figures in TABLE.items())],
)
def test_diameters(gauge: int, diameter_mm: float) -> None:
    assert gauge_diameter_mm(gauge) == pytest.approx(diameter_mm, abs=0.0006)
