"""ANSI E1.20, remote device management: from a public compendium built from it; it was not seen."""

from __future__ import annotations

import pytest

from compat.model.verdicts import Verdict
from tests.published.published import AnyTrial, LineTrial, PublishedValue, all_trials, exactly, label
from tests.published.running import ToldByTrial, differences

SOURCE = "ANSI E1.20"


def rdm(name: str, rule: str, verdict: Verdict | None, wanted: bool = True, **stated: object) -> LineTrial:
    """A DMX line on which remote device management is wanted, or not."""
    return LineTrial(name, rule, {"kind": "dmx_segment", "rdm_wanted": wanted, **stated}, verdict)


def in_a_row(number: int, verdict: Verdict) -> LineTrial:
    return LineTrial(
        f"{number} in a row",
        "dmx-line-rdm-through-too-many-splitters",
        {"kind": "dmx_segment", "rdm_wanted": True, "splitters_in_row": number},
        verdict,
        demand=exactly(float(number), "count"),
        limit=exactly(4.0, "count"),
    )


SPLITTERS, TERMINATOR = "dmx-line-splitters-block-rdm", "dmx-line-rdm-without-terminator"
VALUES = (
    PublishedValue(
        "3.4 half-duplex",
        "answers come back on the same pair, so a splitter has to carry both ways",
        SOURCE,
        "half-duplex on pair 1, in a public compendium",
        "second_hand",
        (
            rdm("one way", SPLITTERS, "fails", segments=3, splitters_pass_rdm=False),
            rdm("both ways", SPLITTERS, "works", segments=3, splitters_pass_rdm=True),
            rdm("one way without RDM", SPLITTERS, None, False, segments=3, splitters_pass_rdm=False),
            rdm("no splitter", SPLITTERS, None, segments=1, splitters_pass_rdm=False),
        ),
    ),
    PublishedValue(
        "3.4 termination",
        "needs proper termination",
        SOURCE,
        "in public texts",
        "second_hand",
        (
            rdm("without", TERMINATOR, "fails", terminated=False),
            rdm("with", TERMINATOR, "works", terminated=True),
            rdm("without, and no RDM", TERMINATOR, None, False, terminated=False),
        ),
    ),
    PublishedValue(
        "3.4 in-line devices",
        "up to four devices in the line",
        SOURCE,
        "in a public compendium",
        "second_hand",
        (in_a_row(4, "works"), in_a_row(5, "marginal")),
    ),
)


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []
