"""ANSI E1.11, DMX512-A, a line as a whole: time of packets, universes, termination, loss of signal.

Timing stands in a public code library that quotes the edition of 2024; wiring in public texts, since
the standard leaves cable to others; splitters in a textbook.
"""

from __future__ import annotations

import pytest

from compat.model.verdicts import Verdict
from tests.published.published import AnyTrial, LineTrial, PublishedValue, all_trials, drivers, exactly, label
from tests.published.running import ToldByTrial, differences

SOURCE = "ANSI E1.11"
DMX = {"kind": "dmx_segment"}
PACKET = "break, mark after break and 44 us for START code and each slot"


def refresh(name: str, slots: int, wanted_hz: float, verdict: Verdict, found_hz: float) -> LineTrial:
    """One driver of so many slots, and the packets a second that are wanted."""
    return LineTrial(
        name,
        "dmx-line-refresh-below-wanted",
        {**DMX, "dmx_refresh_wanted_hz": wanted_hz},
        verdict,
        (drivers(1, dmx_slots=slots),),
        demand=exactly(pytest.approx(found_hz, rel=5e-4), "hz"),
        limit=exactly(wanted_hz, "hz"),
    )


def loads(name: str, number: int, each: float, segments: int, verdict: Verdict) -> LineTrial:
    return LineTrial(
        name,
        "dmx-line-unit-loads-above-segments",
        {**DMX, "segments": segments},
        verdict,
        (drivers(number, dmx_unit_loads=each),),
        demand=exactly(number * each, "ratio"),
        limit=exactly(32.0 * segments, "ratio"),
    )


def yes_or_no(name: str, rule: str, verdict: Verdict, **stated: object) -> LineTrial:
    return LineTrial(name, rule, {**DMX, **stated}, verdict)


def signal_loss(name: str, known: tuple[bool, ...], verdict: Verdict) -> LineTrial:
    """Drivers of an escape route, each with or without a word of its maker on loss of the signal."""
    return LineTrial(
        name,
        "dmx-line-signal-loss-not-stated",
        {**DMX, "level_after_failure_matters": True},
        verdict,
        tuple(
            drivers(2, f"L{place}", dmx_on_signal_loss_stated=stated) for place, stated in enumerate(known)
        ),
    )


VALUES = (
    PublishedValue(
        "W088",
        "24 slots take 1204 us, the least from break to break: fewer slots are no quicker",
        SOURCE,
        "break 92 us, mark 12 us, 25 slots of 44 us",
        "second_hand",
        (
            refresh("24 slots", 24, 1e6 / 1204, "works", 830.6),
            refresh("one slot", 1, 1e6 / 1204, "works", 830.6),
            refresh("one slot, 840 wanted", 1, 840.0, "fails", 830.6),
            refresh("25 slots", 25, 1e6 / 1204, "fails", 1e6 / 1248),
        ),
    ),
    PublishedValue(
        "W090",
        "512 slots take 22,676 us",
        SOURCE,
        PACKET,
        "derived",
        (
            refresh("one packet in 22,676 us wanted", 512, 1e6 / 22676, "works", 1e6 / 22676),
            refresh("one packet in 22,600 us wanted", 512, 1e6 / 22600, "fails", 1e6 / 22676),
        ),
    ),
    PublishedValue(
        "3.2 44 Hz",
        "a full universe makes 44 packets a second",
        SOURCE,
        "press text of the association on the edition of 2008",
        "second_hand",
        (refresh("44 wanted", 512, 44.0, "works", 44.1), refresh("45 wanted", 512, 45.0, "fails", 44.1)),
    ),
    PublishedValue(
        "W092",
        "24 slots make 830.6 packets a second, almost 20 times those of a full universe",
        SOURCE,
        "almost 20 times faster: press text of the association",
        "second_hand",
        (
            refresh("20 times 44 wanted", 24, 880.0, "fails", 830.6),
            refresh("18 times 44 wanted", 24, 792.0, "works", 830.6),
        ),
    ),
    PublishedValue(
        "W094",
        "100 slots make 219.9 packets a second",
        SOURCE,
        PACKET,
        "derived",
        (
            refresh("219 wanted", 100, 219.0, "works", 219.9),
            refresh("220 wanted", 100, 220.0, "fails", 219.9),
        ),
    ),
    PublishedValue(
        "3.3 splitters",
        "each output of a splitter is a new segment",
        "Textbook on lighting control, DMX512-A",
        "chapter 22, page 227",
        "verified",
        (loads("40 on one", 40, 1.0, 1, "fails"), loads("40 on the two of a splitter", 40, 1.0, 2, "works")),
    ),
    PublishedValue(
        "3.3 splitter as a load",
        "the input of a splitter counts as a load of the segment before it",
        "Public texts on DMX512-A wiring",
        "splitters",
        "second_hand",
        (
            LineTrial(
                "31 receivers and a splitter",
                "dmx-line-unit-loads-above-segments",
                {**DMX, "segments": 1},
                "works",
                (drivers(31, "receiver", dmx_unit_loads=1), drivers(1, "splitter", dmx_unit_loads=1)),
                margin_percent=0.0,
            ),
            LineTrial(
                "32 receivers and a splitter",
                "dmx-line-unit-loads-above-segments",
                {**DMX, "segments": 1},
                "fails",
                (drivers(32, "receiver", dmx_unit_loads=1), drivers(1, "splitter", dmx_unit_loads=1)),
                demand=exactly(33.0, "ratio"),
            ),
        ),
    ),
    PublishedValue(
        "3.3 terminator",
        "120 ohm across the data wires at the far end",
        "Public texts on DMX512-A wiring",
        "termination",
        "second_hand",
        (
            yes_or_no("without", "dmx-line-not-terminated", "marginal", terminated=False),
            yes_or_no("with", "dmx-line-not-terminated", "works", terminated=True),
        ),
    ),
    PublishedValue(
        "3.3 daisy chain",
        "from device to device, no passive branches",
        "Public texts on DMX512-A wiring",
        "topology",
        "second_hand",
        (
            yes_or_no("a Y of cable", "dmx-line-passive-branches", "fails", passive_branches=True),
            yes_or_no("daisy chain", "dmx-line-passive-branches", "works", passive_branches=False),
        ),
    ),
    PublishedValue(
        "3.3 loss of signal",
        "the standard does not fix what a receiver does when the signal is lost",
        SOURCE,
        "quoted by a reader of the edition of 2024",
        "second_hand",
        (
            signal_loss("every maker says it", (True, True), "works"),
            signal_loss("one maker is silent", (True, False), "marginal"),
        ),
    ),
    PublishedValue(
        "3.3 300 m",
        "common advice is a repeater after 300 m",
        "Common practice, no source",
        "length of cable; other texts say 250 m to 500 m",
        "common_practice",
        (
            yes_or_no("300 m", "dmx-line-cable-above-300-m", "works", segments=1, total_cable_m=300),
            yes_or_no("301 m", "dmx-line-cable-above-300-m", "marginal", segments=1, total_cable_m=301),
        ),
    ),
)


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []
