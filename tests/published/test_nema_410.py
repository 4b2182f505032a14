"""NEMA JSC 10410, formerly NEMA 410: peak currents that are only remembered, so they never decide."""

from __future__ import annotations

import pytest

from tests.published.published import AnyTrial, PublishedValue, RuleTrial, all_trials, exactly, label
from tests.published.running import ToldByTrial, differences

SOURCE = "NEMA JSC 10410-2023"
LOCATOR = "peak current by steady current, not seen again"


def recalled(name: str, inrush_a: float, peak_a: float) -> RuleTrial:
    """An inrush on a relay whose peak is known from memory only."""
    return RuleTrial(
        name,
        "inrush-above-peak-withstood",
        {
            "output.method": "switched",
            "output.switches_mains": True,
            "circuit.input_characters": ["capacitive"],
            "circuit.group_inrush_peak_a": inrush_a,
            "output.inrush_peak_max_a": {"value": peak_a, "basis": "memory"},
        },
        "unproven",
        demand=exactly(inrush_a, "a"),
        limit=exactly(None, "a"),
    )


VALUES = tuple(
    PublishedValue(
        f"4.1 {steady_a} A at {voltage_v} V",
        f"a control of {steady_a} A at {voltage_v} V withstands a peak of {peak_a} A",
        SOURCE,
        LOCATOR,
        "memory",
        (recalled("far below", 5, peak_a), recalled("far above", 5000, peak_a)),
    )
    for steady_a, voltage_v, peak_a in (
        (0.5, 120, 75),
        (5, 120, 192),
        (16, 120, 242),
        (0.5, 277, 77),
        (16, 277, 480),
    )
)


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []
