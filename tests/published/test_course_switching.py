"""An open course for lighting technicians in the United States on switching LED loads, citing the NEC."""

from __future__ import annotations

import pytest

from compat.model.verdicts import Verdict
from tests.published.published import AnyTrial, PublishedValue, RuleTrial, all_trials, exactly, label
from tests.published.running import ToldByTrial, differences


def on_20_a_breaker(name: str, current_a: float, share: float, verdict: Verdict, limit_a: float) -> RuleTrial:
    """A lighting load that is on for hours on a breaker of 20 A."""
    return RuleTrial(
        name,
        "steady-current-above-breaker",
        {
            "circuit.input_current_a": current_a,
            "breaker.rated_current_a": 20,
            "supply.continuous_load_share": share,
        },
        verdict,
        demand=exactly(current_a, "a"),
        limit=exactly(limit_a, "a"),
    )


VALUES = (
    PublishedValue(
        "W120",
        "a breaker of 20 A carries a continuous load of 16 A, 80 % of its rating",
        "NEC 210.20(A)",
        "stated in an open US course on LED inrush",
        "second_hand",
        (
            on_20_a_breaker("16 A", 16.0, 0.8, "works", 16.0),
            on_20_a_breaker("just above 16 A", 16.01, 0.8, "fails", 16.0),
            on_20_a_breaker("where no reduction is asked", 16.01, 1.0, "works", 20.0),
        ),
    ),
)


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []
