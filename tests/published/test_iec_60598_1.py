"""IEC 60598-1 and IEC 61140, luminaires and classes of insulation, as restated in public texts."""

from __future__ import annotations

from typing import Any

import pytest

from compat.model.verdicts import Verdict
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

SHARE = "protective-current-above-rcd-share"
EARTHED = "class-1-without-protective-conductor"
SWITCHED = {"method": "switched"}


def luminaires(name: str, count: int, insulation: str, verdict: Verdict | None, **traits: Any) -> Trial:
    """Luminaires of a class behind the 30 mA that is usual."""
    return Trial(name, SHARE, (drivers(count, insulation_class=insulation, **traits),), SWITCHED, verdict)


def conductor(name: str, insulation: str, present: object, verdict: Verdict | None) -> RuleTrial:
    """Luminaires of a class with or without a protective conductor."""
    return RuleTrial(
        name,
        EARTHED,
        {"circuit.insulation_classes": [insulation], "circuit.protective_conductor_present": present},
        verdict,
    )


# Luminaires, verdict, margin in %.
AT_3_5_MA: tuple[tuple[int, Verdict, float], ...] = ((2, "works", 22.22), (3, "marginal", -16.67))

VALUES = (
    PublishedValue(
        "M3.5 3.5 mA",
        "class I, permanently connected, up to 7 A: 3.5 mA in the protective conductor",
        "IEC 60598-1:2008",
        "Table 10.3",
        "second_hand",
        tuple(
            Trial(
                f"{count} luminaires at the limit on 30 mA",
                SHARE,
                (drivers(count, insulation_class="class_1", protective_conductor_current_ma=3.5),),
                SWITCHED,
                verdict,
                demand=exactly(3.5 * count, "ma"),
                limit=exactly(pytest.approx(9.0), "ma"),
                margin_percent=pytest.approx(margin, abs=0.01),
            )
            for count, verdict, margin in AT_3_5_MA
        ),
    ),
    PublishedValue(
        "M3.5 class II",
        "a class II luminaire has no protective conductor, so it adds no current to one",
        "IEC 61140",
        "classes of insulation",
        "derived",
        (
            luminaires("class II alone", 50, "class_2", None),
            Trial(
                "class II beside two of class I",
                SHARE,
                (
                    drivers(2, insulation_class="class_1", protective_conductor_current_ma=3.5),
                    drivers(50, "L2", insulation_class="class_2"),
                ),
                SWITCHED,
                "works",
                demand=exactly(7.0, "ma"),
            ),
            luminaires("class I of unknown current", 3, "class_1", "unproven"),
            # Two at 3.5 mA each, the most that the standard allows, stay below 9 mA.
            luminaires("two of class I of unknown current", 2, "class_1", None),
        ),
    ),
    PublishedValue(
        "M5 S7",
        "class I needs a protective conductor; class II has none; class III is fed by SELV",
        "IEC 61140",
        "classes of insulation, as textbooks give them",
        "second_hand",
        (
            conductor("class I with it", "class_1", True, "works"),
            conductor("class I without it", "class_1", False, "hazard"),
            conductor("class I, not known", "class_1", "unknown", "unproven"),
            conductor("class II", "class_2", False, None),
            conductor("class III", "class_3", False, None),
        ),
    ),
)


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []
