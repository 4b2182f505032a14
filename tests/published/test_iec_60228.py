"""IEC 60228, resistance of conductors at 20 degrees Celsius and its factors for other temperatures.

Not seen; four reproductions of its tables 1 and 2 agree. The drop is 2 R l I; a circuit whose
luminaires are spread along the cable has half of it, and a conductor at 70 degrees 1.2 times.
"""

from __future__ import annotations

import pytest

from compat.model.verdicts import Verdict
from compat.physics.cable import drop_at_end_v, resistance_at
from tests.published.mains_parts import CABLES, drop, on_cable, percent
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

SOURCE = "IEC 60228:2004"
RULE = "voltage-drop-above-limit"
CLASSES_1_AND_2 = {
    0.5: 36.0,
    0.75: 24.5,
    1.0: 18.1,
    1.5: 12.1,
    2.5: 7.41,
    4.0: 4.61,
    6.0: 3.08,
    10.0: 1.83,
}
CLASS_5_TABLE = {0.5: 39.0, 0.75: 26.0, 1.0: 19.5, 1.5: 13.3, 2.5: 7.98, 4.0: 4.95, 6.0: 3.30, 10.0: 1.91}


def on(
    name: str,
    area: float,
    metres: float,
    current_a: float,
    volts: tuple[float, float],
    verdict: Verdict = "works",
) -> Trial:
    """A circuit on a cable of the dataset; volts spread at 20 and at the end at 70 degrees."""
    return Trial(
        name,
        RULE,
        (drivers(1, input_current_a=current_a),),
        {"method": "switched"},
        verdict,
        {"cable_length_m": metres},
        demand=drop(*volts),
        limit=percent(3.0),
        around=on_cable(CABLES[area]),
    )


def dropped(name: str, ohm_per_km: float, volts: float) -> RuleTrial:
    """The drop of 1 A over 100 m of a resistance, all of it at the end, against 3 %."""
    share = 100.0 * drop_at_end_v(ohm_per_km, 100.0, 1.0) / 230.0
    return RuleTrial(
        name,
        RULE,
        {"circuit.voltage_drop_percent": share, "supply.voltage_drop_limit_percent": 3},
        "works" if volts <= 6.9 else "marginal",
        demand=exactly(pytest.approx(100.0 * volts / 230.0, rel=1e-3), "percent"),
        limit=percent(3.0),
    )


def row(area: float, ohm_per_km: float) -> PublishedValue:
    """One size: 100 m of it with 0.5 A drop a tenth of the figure in volts, 1.2 times that when warm."""
    return PublishedValue(
        f"M3.1 {area:g} mm2",
        f"{area:g} mm2, class 1 and 2, plain copper: at most {ohm_per_km} ohm/km",
        SOURCE,
        "Tables 1 and 2",
        "second_hand",
        (on("100 m, 0.5 A", area, 100.0, 0.5, (ohm_per_km * 0.05, ohm_per_km * 0.12)),),
    )


VALUES = (
    *(row(area, ohm) for area, ohm in CLASSES_1_AND_2.items()),
    PublishedValue(
        "M3.1 class 5",
        "flexible conductors: 39.0 ohm/km for 0.5 mm2 down to 1.91 ohm/km for 10 mm2",
        SOURCE,
        "Table 3",
        "second_hand",
        tuple(dropped(f"{area:g} mm2", ohm, 0.2 * ohm) for area, ohm in CLASS_5_TABLE.items()),
    ),
    PublishedValue(
        "WE-28",
        "100 m of 2.5 mm2, out and back, have 1.482 ohm at 20 degrees",
        SOURCE,
        "2 x 7.41 ohm/km x 100 m",
        "derived",
        (
            on("1 A", 2.5, 100.0, 1.0, (0.741, 1.7784)),
            # The whole 3 % is 6.9 V: 3.88 A through 1.2 x 1.482 ohm at the end of the cable.
            on("3.87 A", 2.5, 100.0, 3.87, (2.868, 6.882)),
            on("3.89 A", 2.5, 100.0, 3.89, (2.882, 6.918), "marginal"),
        ),
    ),
    PublishedValue(
        "WE-29",
        "1.5 mm2 has 14.52 ohm/km at 70 degrees; the factor is printed as 0.833",
        SOURCE,
        "temperature factors; 12.1 x 300/250",
        "second_hand",
        (
            on("50 m, 1 A", 1.5, 50.0, 1.0, (0.605, 1.452)),
            dropped("as a resistance", resistance_at(12.1, 70.0), 2.42 / 0.833),
        ),
    ),
    PublishedValue(
        "WE-30",
        "factors to 20 degrees from 25, 50 and 90 degrees: 0.980, 0.893, 0.781",
        SOURCE,
        "temperature factors, printed",
        "second_hand",
        (
            dropped("25 degrees", resistance_at(12.1, 25.0), 2.42 / 0.980),
            dropped("50 degrees", resistance_at(12.1, 50.0), 2.42 / 0.893),
            dropped("90 degrees", resistance_at(12.1, 90.0), 2.42 / 0.781),
            dropped("90 degrees, 0.5 mm2", resistance_at(36.0, 90.0), 7.2 / 0.781),
        ),
    ),
)


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []
