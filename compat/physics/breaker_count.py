"""How many equal drivers a breaker holds when they are switched on together.

Peak and I2t of N drivers rise with N and the condition of the breaker can only be broken by more of
either, so the counts that hold are 1 to some N and a search by halving finds it.
"""

from __future__ import annotations

from collections.abc import Sequence

from compat.model.values import Interval
from compat.physics.breaker_release import Breaker, release_of
from compat.physics.breaker_release_sql import RELEASE, STRICT_RELEASE
from compat.physics.inrush_circuit import Candidates, Group, SourceRange, circuit_pulse
from compat.physics.inrush_sql import GROUP_PULSE
from compat.physics.ranges import Range
from compat.physics.staged import every, identifier

AT_MOST = Range(1, 10_000)


def most_drivers_that_hold(
    crest_v: Interval,
    source: SourceRange,
    candidates: Candidates,
    breaker: Breaker,
    at_most: int,
    *,
    strict: bool = False,
    hot_restart: bool = False,
) -> int:
    """The largest count, 0 to ``at_most`` (1 to 10,000), with which the breaker surely holds.

    Inrush only: the steady current often allows fewer. Arguments and sources as for
    ``circuit_pulse`` and ``release_of``. Raises ValueError.
    """
    AT_MOST.check("at_most", at_most)

    def holds(count: int) -> bool:
        group = Group(candidates, count)
        found = circuit_pulse(crest_v, source, [group], hot_restart=hot_restart)
        return release_of(breaker, found.peak_a, found.i2t_a2s, strict=strict).verdict == "holds"

    held, broken = 0, at_most + 1
    while broken - held > 1:
        middle = (held + broken) // 2
        if holds(middle):
            held = middle
        else:
            broken = middle
    return held


def most_drivers_query(relation: str, keys: Sequence[str], at_most: int, *, strict: bool = False) -> str:
    """The SELECT of the keys and ``most_drivers`` (BIGINT, NULL when something is not known).

    ``relation`` has one row for each key and candidate of its driver, with driver_resistance_ohm,
    driver_capacitance_f, the strong ends crest_high_v, source_resistance_low_ohm,
    source_inductance_low_h, and the breaker's columns as in ``RELEASE``. Every count from 1 to
    ``at_most`` is computed, ``at_most`` rows for each of its rows. Raises ValueError.
    """
    AT_MOST.check("at_most", at_most)
    names = ", ".join(identifier(key) for key in keys)
    peaks = {"peak_low_a": "physics_none", "i2t_low_a2s": "physics_none"}
    pulses = GROUP_PULSE.over(
        "physics_counts",
        {
            "crest_v": "crest_high_v",
            "source_resistance_ohm": "source_resistance_low_ohm",
            "source_inductance_h": "source_inductance_low_h",
            "driver_inductance_h": "physics_none",
            "driver_count": "physics_count",
        },
        {"peak_a": "physics_peak_a", "i2t_a2s": "physics_i2t_a2s"},
    )
    columns = {**peaks, "peak_high_a": "physics_peak_a", "i2t_high_a2s": "physics_i2t_a2s"}
    release = (STRICT_RELEASE if strict else RELEASE).over(
        "physics_worst", columns, {"hold_limit_a": "physics_limit_a"}
    )
    breaker = ", ".join(identifier(role) for role in RELEASE.inputs if role not in columns)
    return f"""WITH physics_counts AS (
    SELECT *, 0e0 AS physics_none, unnest(generate_series(1, {int(at_most)}))::DOUBLE AS physics_count
    FROM {identifier(relation)}
), physics_pulses AS ({pulses}), physics_worst AS (
    SELECT {names}, {breaker}, physics_none, physics_count,
        {every("max", "physics_peak_a")}, {every("max", "physics_i2t_a2s")}
    FROM physics_pulses GROUP BY ALL
), physics_limits AS ({release})
SELECT {names}, CASE WHEN count(*) = count(physics_limit_a)
    THEN count(*) FILTER (physics_peak_a <= physics_limit_a) END AS most_drivers
FROM physics_limits GROUP BY ALL"""
