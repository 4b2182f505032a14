"""Stroboscopic visibility (SVM) by IEC TR 63158 and Perz et al. 2018, as an encyclopaedia gives it.

The figure comes from the formula and is judged by the rule; what it must be is typed from the worked table.
"""

from __future__ import annotations

import pytest

from tests.published.formulas import stroboscopic_visibility, visibility_threshold
from tests.published.published import AnyTrial, PublishedValue, RuleTrial, all_trials, exactly, label
from tests.published.running import ToldByTrial, differences

SOURCE = "IEC TR 63158:2018"
FORMULA = "sum to 2 kHz with exponent 3.7; threshold 2.865e-5 f^1.543 + 0.225"


def rectified(hertz: float) -> list[tuple[float, float]]:
    """Components of a full-wave rectified sine up to 2 kHz: 2/(4 n^2 - 1) of the mean."""
    return [
        (order * hertz, 2.0 / (4.0 * order**2 - 1.0)) for order in range(1, 21) if order * hertz <= 2000.0
    ]


def judged(name: str, components: list[tuple[float, float]], figure: float) -> RuleTrial:
    """A light source with these components against the limit of 0.4."""
    return RuleTrial(
        name,
        "stroboscopic-effect-above-limit",
        {
            "circuit.flicker_limits_wanted": True,
            "circuit.load_types": ["integral_lamp"],
            "circuit.stroboscopic_svm": stroboscopic_visibility(components),
        },
        "works" if figure <= 0.4 else "fails",
        demand=exactly(pytest.approx(figure, rel=2e-4), "ratio"),
        limit=exactly(0.4, "ratio"),
    )


def sine(name: str, hertz: float, modulation_percent: float, figure: float) -> RuleTrial:
    """One sine of this modulation."""
    return judged(name, [(hertz, modulation_percent / 100.0)], figure)


VALUES = (
    PublishedValue(
        "WE-64",
        "a sine has SVM 0.4, 0.9, 1.0 at 10.40, 23.39, 25.99 % (100 Hz); 10.85, 24.41, 27.13 % (120 Hz)",
        SOURCE,
        FORMULA,
        "derived",
        (
            sine("10.39 % at 100 Hz", 100.0, 10.39, 0.39977),
            sine("10.41 % at 100 Hz", 100.0, 10.41, 0.40054),
            sine("23.39 % at 100 Hz", 100.0, 23.39, 0.9),
            sine("25.99 % at 100 Hz", 100.0, 25.99, 1.0),
            sine("10.84 % at 120 Hz", 120.0, 10.84, 0.39963),
            sine("10.86 % at 120 Hz", 120.0, 10.86, 0.40037),
            sine("24.41 % at 120 Hz", 120.0, 24.41, 0.9),
            sine("27.13 % at 120 Hz", 120.0, 27.13, 1.0),
        ),
    ),
    PublishedValue(
        "WE-65",
        "a fully modulated sine has SVM 3.847 at 100 Hz and 3.686 at 120 Hz",
        SOURCE,
        FORMULA,
        "derived",
        (sine("100 Hz", 100.0, 100.0, 3.847), sine("120 Hz", 120.0, 100.0, 3.686)),
    ),
    PublishedValue(
        "WE-66",
        "a full-wave rectified sine has SVM 2.566 at 100 Hz and 2.458 at 120 Hz",
        SOURCE,
        FORMULA + "; components 2/(4 n^2 - 1)",
        "derived",
        (judged("100 Hz", rectified(100.0), 2.566), judged("120 Hz", rectified(120.0), 2.458)),
    ),
    PublishedValue(
        "M4.4 threshold",
        "the modulation just seen is 2.865e-5 f^1.543 + 0.225; components above 2 kHz do not count",
        SOURCE,
        FORMULA,
        "second_hand",
        (
            # 2000^1.543 is 124,019, so the threshold there is 3.778.
            sine("100 % at 2000 Hz", 2000.0, 100.0, 0.2647),
            judged("beyond 2 kHz", [(2001.0, 1.0)], 0.0),
            judged("at its threshold", [(1000.0, visibility_threshold(1000.0))], 1.0),
            # Two at their thresholds: 2^(1/3.7), by logarithms 1.2060.
            judged(
                "two at their thresholds",
                [(100.0, visibility_threshold(100.0)), (500.0, visibility_threshold(500.0))],
                1.2060,
            ),
        ),
    ),
)


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []
