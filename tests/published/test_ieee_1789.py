"""IEEE 1789-2015, modulation of the light: clauses 8.1.1 and 8.1.2.3 as quoted in a public note.

The rules take the first practice (low risk) and, below 90 Hz, the third; the second is tried with its
limit from the physics. The standard leaves open to which side 90, 1250 and 3000 Hz belong.
"""

from __future__ import annotations

from typing import Any

import pytest

from compat.model.verdicts import Verdict
from compat.physics.flicker import modulation_limit_percent
from tests.published.formulas import modulation_percent
from tests.published.mains_parts import percent
from tests.published.published import (
    AnyTrial,
    PublishedValue,
    RuleTrial,
    Trial,
    all_trials,
    drivers,
    label,
)
from tests.published.running import ToldByTrial, differences

SOURCE = "IEEE 1789-2015"
LOW_RISK, SEIZURES = "modulation-above-low-risk", "modulation-in-seizure-range"
WANTED = {"flicker_limits_wanted": True}
# A limit of 100 % is none: no light is modulated more.
NONE = 100.0


def light(
    name: str,
    hertz: float,
    modulation: float,
    verdict: Verdict | None,
    limit: float | None = None,
    rule: str = LOW_RISK,
) -> Trial:
    """A light with this modulation at this frequency."""
    return Trial(
        name,
        rule,
        (
            drivers(
                1,
                load_type="integral_lamp",
                light_modulation_percent=modulation,
                light_modulation_frequency_hz=hertz,
            ),
        ),
        {"method": "switched"},
        verdict,
        WANTED,
        demand=None if verdict is None else percent(pytest.approx(modulation)),
        limit=None if limit is None else percent(pytest.approx(limit, rel=1e-3)),
    )


def by_second_practice(hertz: float, modulation: float, verdict: Verdict, limit: float | None) -> RuleTrial:
    """The rule with the limit of no observable effect in place of that of low risk."""
    found = modulation_limit_percent("rp2", hertz)
    given: dict[str, Any] = {
        "circuit.flicker_limits_wanted": True,
        "circuit.load_types": ["integral_lamp"],
        "circuit.light_modulation_percent": modulation,
        "circuit.modulation_low_risk_percent": NONE if found is None else min(found, NONE),
    }
    return RuleTrial(
        f"no observable effect, {modulation:g} % at {hertz:g} Hz",
        LOW_RISK,
        given,
        verdict,
        limit=percent(pytest.approx(NONE if limit is None else limit, rel=2e-3)),
    )


VALUES = (
    PublishedValue(
        "WE-57",
        "a fully modulated light needs 1250 Hz for low risk and 3000 Hz for no observable effect",
        SOURCE,
        "8.1.2.3, example 3",
        "second_hand",
        (
            light("1250 Hz", 1250.0, 100.0, "works", 100.0),
            light("1240 Hz", 1240.0, 100.0, "marginal", 99.2),
            by_second_practice(3000.5, 100.0, "works", None),
            by_second_practice(2990.0, 100.0, "marginal", 99.57),
        ),
    ),
    PublishedValue(
        "WE-58",
        "100 and 120 Hz: low risk up to 8.0 and 9.6 %, no observable effect up to 3.33 and 4.0 %",
        SOURCE,
        "8.1.1, first and second recommended practice",
        "second_hand",
        (
            light("7.9 % at 100 Hz", 100.0, 7.9, "works", 8.0),
            light("8.1 % at 100 Hz", 100.0, 8.1, "marginal", 8.0),
            light("9.5 % at 120 Hz", 120.0, 9.5, "works", 9.6),
            light("9.7 % at 120 Hz", 120.0, 9.7, "marginal", 9.6),
            by_second_practice(100.0, 3.3, "works", 3.33),
            by_second_practice(100.0, 3.4, "marginal", 3.33),
            by_second_practice(120.0, 3.9, "works", 4.0),
            by_second_practice(120.0, 4.1, "marginal", 4.0),
        ),
    ),
    PublishedValue(
        "WE-60",
        "low risk at 89.9, 90 and 1250 Hz: 2.2475, 7.2 and 100 %; none above",
        SOURCE,
        "8.1.1, first recommended practice",
        "second_hand",
        (
            light("2.24 % at 89.9 Hz", 89.9, 2.24, "works", 2.2475),
            light("2.26 % at 89.9 Hz", 89.9, 2.26, "marginal", 2.2475),
            light("7.1 % at 90 Hz", 90.0, 7.1, "works", 7.2),
            light("7.3 % at 90 Hz", 90.0, 7.3, "marginal", 7.2),
            light("99 % at 1250 Hz", 1250.0, 99.0, "works", 100.0),
            light("100 % at 1251 Hz", 1251.0, 100.0, "works", NONE),
            light("100 % at 3001 Hz", 3001.0, 100.0, "works", NONE),
        ),
    ),
    PublishedValue(
        "WE-61",
        "fully modulated, 1200 Hz is not of low risk (96 %); 2441 Hz is, but not free of effect (81.3 %)",
        SOURCE,
        "table of the note, by the first and second recommended practice",
        "second_hand",
        (
            light("1200 Hz", 1200.0, 100.0, "marginal", 96.0),
            light("2441 Hz", 2441.0, 100.0, "works", NONE),
            by_second_practice(2441.0, 100.0, "marginal", 81.3),
        ),
    ),
    PublishedValue(
        "WE-62",
        "light between 0.8 and 0.3 is modulated by 45.5 %",
        SOURCE,
        "definition of modulation, example of the note",
        "second_hand",
        (
            light("at 600 Hz", 600.0, modulation_percent(0.8, 0.3), "works", 48.0),
            light("at 560 Hz", 560.0, modulation_percent(0.8, 0.3), "marginal", 44.8),
            light("at 569 Hz, 45.5 by hand", 569.0, 45.5, "works", 45.52),
            light("at 568 Hz", 568.0, modulation_percent(0.8, 0.3), "marginal", 45.44),
        ),
    ),
    PublishedValue(
        "M4.3 RP3",
        "below 90 Hz less than 5 %, always",
        SOURCE,
        "8.1.1, third recommended practice",
        "second_hand",
        (
            light("4.9 % at 50 Hz", 50.0, 4.9, "works", 5.0, SEIZURES),
            light("5.1 % at 50 Hz", 50.0, 5.1, "fails", 5.0, SEIZURES),
            light("5.1 % at 89.9 Hz", 89.9, 5.1, "fails", 5.0, SEIZURES),
            light("50 % at 100 Hz", 100.0, 50.0, None, rule=SEIZURES),
        ),
    ),
    PublishedValue(
        "M4.3 RP1",
        "low risk: 0.025 f below 90 Hz, 0.08 f from there; not 0.08 f all the way down",
        SOURCE,
        "8.1.1; versions with other factors are in circulation",
        "second_hand",
        (
            light("1 % at 50 Hz", 50.0, 1.0, "works", 1.25),
            light("3.9 % at 50 Hz, allowed by 0.08 f", 50.0, 3.9, "marginal", 1.25),
            light("15.9 % at 200 Hz", 200.0, 15.9, "works", 16.0),
            light("16.1 % at 200 Hz", 200.0, 16.1, "marginal", 16.0),
        ),
    ),
    PublishedValue(
        "M4.3 RP2",
        "no observable effect: 0.01 f below 90 Hz, 0.0333 f to 3000 Hz, none above",
        SOURCE,
        "8.1.1, second recommended practice",
        "second_hand",
        (
            by_second_practice(50.0, 0.49, "works", 0.5),
            by_second_practice(50.0, 0.51, "marginal", 0.5),
            by_second_practice(1000.0, 33.0, "works", 33.3),
            by_second_practice(1000.0, 34.0, "marginal", 33.3),
            by_second_practice(3001.0, 100.0, "works", None),
        ),
    ),
)


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []
