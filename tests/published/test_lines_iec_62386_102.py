"""IEC 62386-102 and -207, gear on a line: fade times, levels after a failure, curves in a group."""

from __future__ import annotations

import pytest

from compat.model.verdicts import Verdict
from tests.published.published import AnyTrial, LineTrial, PublishedValue, all_trials, drivers, exactly, label
from tests.published.running import ToldByTrial, differences

SOURCE = "IEC 62386-102"
TABLE = "table of fade times, the same in two public code bases"
SHORTEST, LONGEST = "dali-line-fade-below-version-1-shortest", "dali-line-fade-above-version-1-longest"
EXTENDED = "dali-line-fade-above-longest"


def fade(name: str, rule: str, seconds: float, version: str, verdict: Verdict | None) -> LineTrial:
    """A fade wanted from gear of a version."""
    return LineTrial(
        name,
        rule,
        {"kind": "dali_line", "fade_time_wanted_s": seconds},
        verdict,
        (drivers(3, dali_version=version),),
        demand=exactly(seconds, "s"),
    )


def after_failure(name: str, matters: bool, are_set: bool, verdict: Verdict | None) -> LineTrial:
    return LineTrial(
        name,
        "dali-line-failure-levels-not-set",
        {"kind": "dali_line", "level_after_failure_matters": matters, "failure_levels_set": are_set},
        verdict,
    )


def curves(name: str, first: str, second: str, verdict: Verdict) -> LineTrial:
    return LineTrial(
        name,
        "dali-line-curves-mixed-in-groups",
        {"kind": "dali_line", "groups_wanted": 2},
        verdict,
        (drivers(2, "A", dimming_curve=first), drivers(2, "B", dimming_curve=second)),
    )


VALUES = (
    PublishedValue(
        "W041",
        "fade time code 1 is 0.707 s, the shortest but none",
        SOURCE,
        TABLE,
        "second_hand",
        (
            fade("0.707 s", SHORTEST, 0.707, "version_1", "works"),
            fade("0.706 s", SHORTEST, 0.706, "version_1", "marginal"),
        ),
    ),
    PublishedValue(
        "2.4 fade code 15",
        "fade time code 15 is 90.510 s, the longest",
        SOURCE,
        TABLE,
        "second_hand",
        (
            fade("90.510 s", LONGEST, 90.51, "version_1", "works"),
            fade("90.52 s", LONGEST, 90.52, "version_1", "fails"),
        ),
    ),
    PublishedValue(
        "W056",
        "the extended fade time starts at 0.1 s, which version 1 does not do",
        SOURCE,
        "base 1 times 100 ms, in public code",
        "second_hand",
        (
            fade("version 2", SHORTEST, 0.1, "version_2", None),
            fade("version 1", SHORTEST, 0.1, "version_1", "marginal"),
        ),
    ),
    PublishedValue(
        "2.4 extended fade",
        "the extended fade time ends at 16 min",
        SOURCE,
        "base 16 times 1 min, in public code",
        "second_hand",
        (
            fade("960 s", EXTENDED, 960.0, "version_2", "works"),
            fade("961 s", EXTENDED, 961.0, "version_2", "fails"),
            fade("960 s from version 1", LONGEST, 960.0, "version_1", "fails"),
        ),
    ),
    PublishedValue(
        "2.4 failure levels",
        "as delivered, gear goes to level 254 on loss of the line and on return of the mains",
        SOURCE,
        "default of power-on level and system failure level, in public texts",
        "second_hand",
        (
            after_failure("bedroom, as delivered", True, False, "marginal"),
            after_failure("bedroom, levels set", True, True, "works"),
            after_failure("where it does not matter", False, False, None),
        ),
    ),
    PublishedValue(
        "2.4 linear curve",
        "LED gear can be set to a linear curve, and a mixed group does not track",
        "AS/NZS 62386.207",
        "9.3.3",
        "verified",
        (
            curves("one of each", "logarithmic", "linear", "marginal"),
            curves("both logarithmic", "logarithmic", "logarithmic", "works"),
            curves("both linear", "linear", "linear", "works"),
        ),
    ),
    PublishedValue(
        "2.5 type 7",
        "device type 7 is the switching function; a controller without it sends the level only",
        "IEC 62386-208",
        "remembered, not seen",
        "memory",
        (
            LineTrial(
                "not commanded",
                "dali-line-functions-not-commanded",
                {"kind": "dali_line", "dali_device_types_commanded": ["type_6"]},
                "marginal",
                (drivers(1, dali_device_type="type_7"),),
            ),
        ),
    ),
)


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []
