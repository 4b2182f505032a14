"""IEC 62386-102, the standard (logarithmic) curve: light levels as physical minimum of a control gear.

The formula and the end points stand in public texts; the standard was not seen. The minimum level of
a gear cannot be set below its physical minimum, so a lower level wanted is not reached.
"""

from __future__ import annotations

import pytest

from tests.published.published import AnyTrial, PublishedValue, Trial, all_trials, drivers, exactly, label
from tests.published.running import ToldByTrial, differences

SOURCE = "IEC 62386-102"
DERIVED = "level from the formula of the curve, which public texts quote"
DALI = {"method": "dali"}


def floor(
    name: str, floor_percent: float, wanted_percent: float, reached: bool, margin: object = None
) -> Trial:
    """Gear of this physical minimum where a lowest level is wanted."""
    return Trial(
        name,
        "driver-floor-above-wanted",
        (drivers(4, dim_floor_percent=floor_percent),),
        DALI,
        "works" if reached else "fails",
        {"wanted_control": "dimmed", "wanted_dim_floor_percent": wanted_percent},
        demand=exactly(floor_percent, "percent"),
        limit=exactly(wanted_percent, "percent"),
        margin_percent=margin,
    )


def output_floor(name: str, wanted_percent: float, reached: bool, margin: object = None) -> Trial:
    """An output that can ask for level 1 where a lowest level is wanted."""
    return Trial(
        name,
        "output-floor-above-wanted",
        (drivers(4),),
        {**DALI, "dim_floor_percent": 0.1},
        "works" if reached else "fails",
        {"wanted_control": "dimmed", "wanted_dim_floor_percent": wanted_percent},
        demand=exactly(0.1, "percent"),
        limit=exactly(wanted_percent, "percent"),
        margin_percent=margin,
    )


VALUES = (
    PublishedValue(
        "W018",
        "level 1 is 0.1 % of the light, the lowest that can be asked for",
        SOURCE,
        "lower end of the curve, published widely",
        "second_hand",
        (
            floor("gear of level 1 for 0.1 %", 0.1, 0.1, True, 0.0),
            floor("gear of level 1 for 0.09 %", 0.1, 0.09, False),
            output_floor("output for 0.1 %", 0.1, True, 0.0),
            output_floor("output for 0.08 %", 0.08, False, pytest.approx(-25.0)),
        ),
    ),
    PublishedValue(
        "2.4 level 2",
        "level 2 is 0.103 %",
        SOURCE,
        DERIVED,
        "derived",
        (
            floor("for its own level", 0.103, 0.103, True, 0.0),
            floor("for 0.1 %", 0.103, 0.1, False, pytest.approx(-3.0)),
        ),
    ),
    PublishedValue(
        "W020",
        "level 60 is 0.501 %, just above one half of a per cent",
        SOURCE,
        DERIVED,
        "derived",
        (
            floor("for its own level", 0.501, 0.501, True, 0.0),
            floor("for 0.5 %", 0.501, 0.5, False, pytest.approx(-0.2)),
        ),
    ),
    PublishedValue(
        "W021",
        "level 85 is 0.991 %: the highest physical minimum that reaches 1 %",
        SOURCE,
        DERIVED,
        "derived",
        (floor("for 1 %", 0.991, 1.0, True, pytest.approx(0.9)), floor("for 0.99 %", 0.991, 0.99, False)),
    ),
    PublishedValue(
        "W022",
        "level 86 is 1.018 %: the first physical minimum that does not reach 1 %",
        SOURCE,
        DERIVED,
        "derived",
        (
            floor("for 1 %", 1.018, 1.0, False, pytest.approx(-1.8)),
            floor("for its own level", 1.018, 1.018, True, 0.0),
        ),
    ),
    PublishedValue(
        "W024",
        "level 126 is 3.035 %",
        SOURCE,
        DERIVED,
        "derived",
        (floor("for its own level", 3.035, 3.035, True, 0.0), floor("for 3 %", 3.035, 3.0, False)),
    ),
    PublishedValue(
        "W025",
        "level 127 is 3.119 %",
        SOURCE,
        DERIVED,
        "derived",
        (floor("for its own level", 3.119, 3.119, True, 0.0), floor("for 3.1 %", 3.119, 3.1, False)),
    ),
    PublishedValue(
        "W037",
        "neighbouring levels stand as 1.0277 to 1",
        SOURCE,
        DERIVED,
        "derived",
        (
            floor("level 127 for level 126", 3.119, 3.035, False, pytest.approx(-2.77, abs=0.01)),
            floor("level 254 for level 253", 100.0, 97.307, False, pytest.approx(-2.77, abs=0.01)),
        ),
    ),
    PublishedValue(
        "W026",
        "level 144 is 4.962 %, which reaches 5 %",
        SOURCE,
        DERIVED,
        "derived",
        (floor("for 5 %", 4.962, 5.0, True, pytest.approx(0.76)), floor("for 4.96 %", 4.962, 4.96, False)),
    ),
    PublishedValue(
        "2.4 level 170",
        "level 170, the nearest to 10 %, is 10.091 %",
        SOURCE,
        DERIVED,
        "derived",
        (
            floor("for its own level", 10.091, 10.091, True, 0.0),
            floor("for 10 %", 10.091, 10.0, False, pytest.approx(-0.91)),
        ),
    ),
)


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []
