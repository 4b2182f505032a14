"""Our estimate for short pulses on a circuit-breaker: a preloaded plunger between 0.5 and 5 ms.

The worked table was computed apart from this program. IEC 60898-1 gives 3/5, 5/10 and 10/20 times the
rated current for 0.1 s and says nothing of one short pulse; the plunger times have no published source.
"""

from __future__ import annotations

import pytest

from compat.model.verdicts import Verdict
from compat.physics.breaker_release import Breaker, hold_limit_a, trip_limit_a
from tests.published.mains_parts import BREAKERS, amperes, behind, inrush
from tests.published.published import (
    AnyTrial,
    Figure,
    LookupTrial,
    PublishedValue,
    RuleTrial,
    Trial,
    Within,
    all_trials,
    label,
)
from tests.published.running import ToldByTrial, differences

SOURCE = "Derived here"
RULE = "inrush-releases-breaker"
C16 = Breaker(16.0, 5.0, 10.0, 0.5e-3, 5e-3, 50.0)
# Width above half the peak in us, C16: holds up to A, releases above A.
PULSES = (
    (50, 473, 3111),
    (100, 339, 2203),
    (200, 246, 1562),
    (300, 206, 1279),
    (500, 168, 996),
    (1000, 135, 713),
    (2000, 117, 518),
    (6667, 113, 320),
)
# Peak in A, width in us behind 0.8 ohm and 100 uH, then by curve: counts with the standard alone, and
# with the estimate. 16 A, inrush only. Peaks and widths by the closed form to one digit more.
COUNTS = {
    "A": (89.93, 100.99, {"B": (0, 3), "C": (1, 7), "D": (9, 33)}),
    "B": (28.43, 387.05, {"B": (2, 4), "C": (5, 9), "D": (21, 29)}),
    "D": (64.78, 144.63, {"B": (1, 3), "C": (2, 6), "D": (11, 26)}),
}


def judged(
    name: str, width_us: float, peak_a: float, limits: tuple[float, float], verdict: Verdict
) -> RuleTrial:
    """A half sine of this width and peak on C16: the heating is 0.75 I2 t50."""
    heating = 0.75 * peak_a**2 * width_us * 1e-6
    holds_a, trips_a = hold_limit_a(C16, peak_a, heating), trip_limit_a(C16, peak_a, heating)
    return RuleTrial(
        name,
        RULE,
        {"circuit.group_inrush_peak_a": peak_a, "circuit.breaker_release_peak_a": [holds_a, trips_a]},
        verdict,
        demand=amperes(peak_a),
        limit=Figure(
            pytest.approx(limits[0], rel=4e-3, abs=0.5), pytest.approx(limits[1], rel=2e-3, abs=0.5), "a"
        ),
    )


def pulse(width_us: int, holds_a: int, trips_a: int) -> PublishedValue:
    """One width of the table."""
    limits = (float(holds_a), float(trips_a))
    trials: list[Trial | RuleTrial] = [
        judged("just below the lower figure", width_us, 0.99 * holds_a, limits, "works"),
        judged("just above the lower figure", width_us, 1.02 * holds_a, limits, "marginal"),
        judged("just below the upper figure", width_us, 0.99 * trips_a, limits, "marginal"),
        judged("just above the upper figure", width_us, 1.01 * trips_a, limits, "fails"),
    ]
    if width_us <= 1000:
        trials.append(circuit(width_us, limits))
    return PublishedValue(
        f"N4 {width_us} us",
        f"C16 holds a pulse of {width_us} us up to {holds_a} A and releases above {trips_a} A",
        SOURCE,
        "preloaded plunger, 0.5 ms and 5 ms",
        "derived",
        tuple(trials),
    )


def circuit(width_us: int, limits: tuple[float, float]) -> Trial:
    """A driver of a fifth of a peak of 0.2 A for each us behind 0.8 ohm, which makes damping about 2."""
    peak_a = 0.2 * width_us
    return Trial(
        "as a circuit",
        RULE,
        (inrush(1, peak_a, width_us, 0.8, 100.0),),
        {"method": "switched"},
        "marginal" if peak_a > limits[0] else "works",
        demand=Figure(Within(0.85 * peak_a, peak_a), pytest.approx(peak_a), "a"),
        limit=Figure(pytest.approx(limits[0], rel=0.01), Within(limits[1], 1.25 * limits[1]), "a"),
        around=behind(0.8, 100.0, "C16"),
    )


def counts(driver: str, curve: str) -> PublishedValue:
    """How many of a driver each way of counting allows."""
    peak_a, width_us, by_curve = COUNTS[driver]
    strict, estimate = by_curve[curve]
    breaker = f"{curve}16"
    stated = dict(inrush(1, peak_a, width_us, 0.8, 100.0).traits)

    def looked_up(name: str, most: int, *, only_standard: bool) -> LookupTrial:
        return LookupTrial(
            name,
            RULE,
            stated,
            BREAKERS[breaker],
            {
                "inrush_holds_most": most,
                "inrush_may_release_from": most + 1,
                "inrush_open_ended": False,
                "steady_most": None,
                "binding": "not known",
            },
            most + 2,
            behind(0.8, 100.0, strict=only_standard),
        )

    def on(name: str, count: int, verdict: Verdict, *, only_standard: bool) -> Trial:
        return Trial(
            name,
            RULE,
            (inrush(count, peak_a, width_us, 0.8, 100.0),),
            {"method": "switched"},
            verdict,
            around=behind(0.8, 100.0, breaker, strict=only_standard),
        )

    checked = [
        on("the most by the estimate", estimate, "works", only_standard=False),
        on("one more by the estimate", estimate + 1, "marginal", only_standard=False),
        on("one more by the standard", strict + 1, "marginal", only_standard=True),
    ]
    if strict:
        checked.append(on("the most by the standard", strict, "works", only_standard=True))
    return PublishedValue(
        f"N4 {driver} on {curve}16",
        f"driver {driver} on curve {curve}, 16 A: {strict} by the standard alone, {estimate} by the estimate",
        SOURCE,
        "group pulse behind 0.8 ohm and 100 uH; inrush only",
        "derived",
        (
            looked_up("by the estimate", estimate, only_standard=False),
            looked_up("by the standard", strict, only_standard=True),
            *checked,
        ),
    )


VALUES = (
    *(pulse(*row) for row in PULSES),
    *(counts(driver, curve) for driver, (_, _, by_curve) in COUNTS.items() for curve in by_curve),
    PublishedValue(
        "N4 never surely",
        "behind 0.8 ohm no more than 407 A can flow, so many drivers leave C16 uncertain, not released",
        SOURCE,
        "allowed counts, last column: above 311 of driver A, 162 of driver B",
        "derived",
        tuple(
            Trial(
                f"{count} of driver {driver}",
                RULE,
                (inrush(count, COUNTS[driver][0], COUNTS[driver][1], 0.8, 100.0),),
                {"method": "switched"},
                "marginal",
                demand=Figure(Within(0.0, 406.6), Within(300.0, 406.6), "a"),
                around=behind(0.8, 100.0, "C16"),
            )
            for driver, count in (("A", 310), ("B", 161), ("D", 210))
        ),
    ),
)


@pytest.mark.parametrize(("value_id", "trial"), all_trials(VALUES), ids=label)
def test_published_value(value_id: str, trial: AnyTrial, told: ToldByTrial) -> None:
    assert differences(trial, told[value_id, trial.name]) == []
