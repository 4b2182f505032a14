"""IEC 60929 Annex E on a whole pair: off, the open pair, and what a passive control may carry."""

from __future__ import annotations

import pytest

from compat.model.verdicts import Verdict
from tests.published.published import AnyTrial, LineTrial, PublishedValue, all_trials, drivers, exactly, label
from tests.published.running import ToldByTrial, differences

SOURCE = "IEC 60929 Annex E"
PAIR = {"kind": "analog_pair"}
STAYS_ON = drivers(4, off_by_control_signal=False)
GOES_OFF = drivers(4, off_by_control_signal=True)


def off(name: str, relay: bool, verdict: Verdict, *members: object) -> LineTrial:
    """A pair whose control must turn the light off, with or without a relay for the supply."""
    rows = (STAYS_ON,) if not members else (STAYS_ON, GOES_OFF)
    return LineTrial(
        name,
        "pair-off-without-relay",
        {**PAIR, "wanted_off_by_control": True, "switches_mains": relay},
        verdict,
        rows,
    )


def opened(name: str, direction: str, verdict: Verdict) -> LineTrial:
    """A pair of a bedroom, where it matters what a broken wire does."""
    return LineTrial(
        name,
        "pair-open-goes-to-full-output",
        {**PAIR, "level_after_failure_matters": True},
        verdict,
        (drivers(4, control_current_direction=direction),),
    )


def receivers(number: int, verdict: Verdict, margin: object) -> LineTrial:
    """Receivers of 100 kohm at 10 V take 0.1 mA each; the test load of 20 kohm takes 0.5 mA."""
    return LineTrial(
        f"{number} receivers on an output of 0.5 mA",
        "pair-control-current-above-capacity",
        {**PAIR, "control_current_max_ma": 0.5},
        verdict,
        (drivers(number, control_current_ma=0.1, control_current_direction="sinks"),),
        demand=exactly(pytest.approx(number / 10), "ma"),
        margin_percent=margin,
    )


VALUES = (
    PublishedValue(
        "A04",
        "at 1 V and below the gear is at its lowest level, not off",
        SOURCE,
        "lower end of the signal, in public texts",
        "second_hand",
        (off("no relay", False, "fails"), off("a relay in the supply", True, "works")),
    ),
    PublishedValue(
        "1.5 off",
        "a group without standby needs a switched live of its own, whatever else is on the pair",
        "Open US course, 0-10 V dimming",
        "switching 0-10 V circuits; the UK course says the same",
        "second_hand",
        (
            off("one circuit of two goes to standby", False, "fails", "both"),
            off("the same behind a relay for all", True, "works", "both"),
        ),
    ),
    PublishedValue(
        "A05",
        "an open pair goes to full output",
        SOURCE,
        "list of faults of the US course; named fail safe in an encyclopaedia",
        "second_hand",
        (opened("1-10 V drivers", "sources", "marginal"), opened("receivers that sink", "sinks", "works")),
    ),
    PublishedValue(
        "W016",
        "the test load of 20 kohm stands for five receivers of 100 kohm",
        "ANSI E1.3",
        "20 kohm from a public summary, 100 kohm from memory",
        "derived",
        (receivers(5, "works", pytest.approx(0.0, abs=1e-7)), receivers(6, "fails", pytest.approx(-20.0))),
    ),
)


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []
