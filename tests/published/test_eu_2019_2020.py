"""Regulation (EU) 2019/2020 on light sources and separate control gear, read in a text copy."""

from __future__ import annotations

from typing import Any

import pytest

from compat.model.verdicts import Verdict
from tests.published.published import (
    AnyTrial,
    Drivers,
    PublishedValue,
    Surroundings,
    Trial,
    all_trials,
    drivers,
    exactly,
    label,
)
from tests.published.running import ToldByTrial, differences

SOURCE = "Regulation (EU) 2019/2020"
FORWARD = {"method": "forward_phase", "switches_mains": True}
BAND = "supply-band-beyond-usual-tolerance"


def flicker(rule: str, name: str, figure: float, limit: float, **traits: Any) -> Trial:
    """A light source with this figure, where the limits are wanted."""
    return Trial(
        name,
        rule,
        (drivers(1, load_type="integral_lamp", **traits),),
        {"method": "switched"},
        "works" if figure <= limit else "fails",
        {"flicker_limits_wanted": True},
        demand=exactly(figure, "ratio"),
        limit=exactly(limit, "ratio"),
    )


def lamp(name: str, rule: str, driver: Drivers, verdict: Verdict | None, wanted: str = "dimmed") -> Trial:
    """A lamp on a forward-phase dimmer."""
    return Trial(name, rule, (driver,), FORWARD, verdict, {"wanted_control": wanted})


def gear_for(name: str, voltages: tuple[float, float], verdict: Verdict) -> Trial:
    """Gear made for voltages, each within 10 %, on 230 V within 10 %."""
    low, high = voltages
    return Trial(
        name,
        BAND,
        (drivers(1, input_voltage_min_v=low, input_voltage_max_v=high),),
        {"method": "switched"},
        verdict,
        around=Surroundings(supply="U0001"),
    )


VALUES = (
    PublishedValue(
        "M4.2 PstLM",
        "PstLM at most 1.0 at full load, LED and OLED mains light sources",
        SOURCE,
        "Annex II Table 4",
        "verified",
        (
            flicker("short-term-flicker-above-limit", "1.0", 1.0, 1.0, flicker_pst_lm=1.0),
            flicker("short-term-flicker-above-limit", "just above", 1.01, 1.0, flicker_pst_lm=1.01),
            Trial(
                "a filament lamp",
                "short-term-flicker-above-limit",
                (drivers(1, load_type="incandescent", flicker_pst_lm=1.01),),
                {"method": "switched"},
                None,
                {"flicker_limits_wanted": True},
            ),
        ),
    ),
    PublishedValue(
        "M4.2 SVM",
        "SVM at most 0.4 at full load, LED and OLED mains light sources",
        SOURCE,
        "Annex II Table 4, original text",
        "verified",
        (
            flicker("stroboscopic-effect-above-limit", "0.4", 0.4, 0.4, stroboscopic_svm=0.4),
            flicker("stroboscopic-effect-above-limit", "just above", 0.41, 0.4, stroboscopic_svm=0.41),
            flicker("stroboscopic-effect-above-limit", "seen by half", 1.0, 0.4, stroboscopic_svm=1.0),
        ),
    ),
    PublishedValue(
        "M1.2 light source",
        "a light source that cannot be dimmed, or only by some ways, carries a warning",
        SOURCE,
        "Annex II 3(b)(1)(l)",
        "verified",
        (
            lamp(
                "marked as not dimmable, on a dimmer",
                "not-dimmable-load-on-dimming-output",
                drivers(1, load_type="integral_lamp", dimming_forbidden=True),
                "fails",
            ),
            lamp(
                "dimmable",
                "not-dimmable-load-on-dimming-output",
                drivers(1, load_type="integral_lamp", dimming_forbidden=False),
                "works",
            ),
            lamp(
                "marked as not dimmable, dimming wanted",
                "dimming-wanted-from-gear-not-dimmable",
                drivers(1, load_type="integral_lamp", methods=["switched"], dimming_forbidden=True),
                "fails",
            ),
            lamp(
                "marked as not dimmable, switching wanted",
                "dimming-wanted-from-gear-not-dimmable",
                drivers(1, load_type="integral_lamp", methods=["switched"], dimming_forbidden=True),
                None,
                "switched",
            ),
        ),
    ),
    PublishedValue(
        "M1.2 control gear",
        "separate control gear that does not suit dimming, or only some ways, carries a warning",
        SOURCE,
        "Annex II 3(b)(2)(g)",
        "verified",
        (
            lamp(
                "only reverse phase, on forward phase",
                "method-not-accepted",
                drivers(1, load_type="constant_current_driver", methods=["reverse_phase", "switched"]),
                "fails",
            ),
            lamp(
                "forward phase",
                "method-not-accepted",
                drivers(1, load_type="constant_current_driver", methods=["forward_phase", "switched"]),
                "works",
            ),
            lamp(
                "nothing said",
                "method-not-accepted",
                drivers(1, load_type="constant_current_driver"),
                "unproven",
            ),
        ),
    ),
    PublishedValue(
        "M3.7 mains",
        "mains is 230 V within 10 %, 50 Hz: 207 V to 253 V",
        SOURCE,
        "Article 2(6)",
        "verified",
        (
            gear_for("gear for 230 V", (230, 230), "works"),
            gear_for("gear for 220 V to 240 V", (220, 240), "works"),
            gear_for("gear from 231 V", (231, 240), "marginal"),
            gear_for("gear up to 229 V", (220, 229), "marginal"),
            Trial(
                "50 Hz",
                "supply-frequency-outside-input-range",
                (drivers(1, input_frequency_min_hz=50, input_frequency_max_hz=60),),
                {"method": "switched"},
                "works",
                around=Surroundings(supply="U0001"),
            ),
            Trial(
                "gear for 60 Hz only",
                "supply-frequency-outside-input-range",
                (drivers(1, input_frequency_min_hz=60, input_frequency_max_hz=60),),
                {"method": "switched"},
                "fails",
                around=Surroundings(supply="U0001"),
            ),
        ),
    ),
)


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []
