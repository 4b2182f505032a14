"""End to end: hidden breakers and drivers, the true current into the plunger, verdicts beside it.

1,200 installations with drivers, sources and breakers drawn at random. The driver is known only by
the peak and width a test source gave; T in 0.5 to 5 ms and the release multiple stay hidden.
No "holds" may release, at the crest or at another closing instant, and no "trips" may hold when
closed at the crest. A part of the drivers has an inductance that the model knows nothing of.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from compat.model.values import Interval
from compat.physics.breaker_release import Breaker
from compat.physics.inrush_circuit import Group, SourceRange, StatedPulse, candidates_of, circuit_pulse
from tests.physics import simulations
from tests.physics.releases import release_of

COUNT = 1200
CREST = 325.27
CURVES = np.array([(3.0, 5.0), (5.0, 10.0), (10.0, 20.0)])


def hidden_anchor(plunger_time: NDArray[np.float64]) -> NDArray[np.float64]:
    """Crest over I0 of the sine that just releases within 0.1 s, by the equation of motion."""
    times = np.geomspace(0.49e-3, 5.1e-3, 30)
    ratios = np.linspace(1.0, 1.45, 301)
    time, ratio = (grid.ravel() for grid in np.meshgrid(times, ratios, indexing="ij"))
    released = simulations.sine_releases(ratio, time, 0.0).reshape(len(times), len(ratios))
    return np.asarray(np.interp(plunger_time, times, ratios[np.argmax(released, axis=1)]))


def exactly(value: float) -> Interval:
    return Interval(float(value), float(value))


def test_no_wrong_verdict() -> None:
    generator = np.random.default_rng(51)
    resistance, capacitance = (
        10 ** generator.uniform(-1, 1.5, COUNT),
        10 ** generator.uniform(-6.2, -3.8, COUNT),
    )
    inductance = np.where(generator.random(COUNT) < 0.25, 10 ** generator.uniform(-5.5, -4, COUNT), 0.0)
    count = generator.integers(1, 61, COUNT)
    test = generator.uniform(0.3, 1.0, COUNT), 10 ** generator.uniform(-4.5, -3.4, COUNT)
    source = 10 ** generator.uniform(-1, 0.3, COUNT), 10 ** generator.uniform(-4.7, -3.1, COUNT)
    curve = CURVES[generator.integers(0, 3, COUNT)]
    rated = generator.choice([6.0, 10.0, 13.0, 16.0, 20.0, 32.0], COUNT)
    plunger_time = 10 ** generator.uniform(np.log10(0.5e-3), np.log10(5e-3), COUNT)
    multiple = generator.uniform(curve[:, 0], curve[:, 1])
    static = np.sqrt(2.0) * multiple * rated / hidden_anchor(plunger_time)
    crest = np.full(COUNT, CREST)
    loop = source[0] + resistance / count, source[1] + inductance / count, count * capacitance
    at_crest, elsewhere = (
        simulations.plunger_releases(
            simulations.sine_waves(crest, *loop, angle, steps=2000), static, plunger_time
        )
        for angle in (np.full(COUNT, 90.0), generator.uniform(10.0, 170.0, COUNT))
    )
    seen = simulations.sine_waves(
        crest, test[0] + resistance, test[1] + inductance, capacitance, np.full(COUNT, 90.0), steps=2000
    )
    peak, width = seen.peak(), seen.width()
    told = {"holds": 0, "trips": 0, "cannot_tell": 0}
    for at in range(COUNT):
        stated = StatedPulse(
            exactly(peak[at]),
            exactly(width[at]),
            CREST,
            SourceRange(exactly(test[0][at]), exactly(test[1][at])),
        )
        here = SourceRange(exactly(source[0][at]), exactly(source[1][at]))
        found = circuit_pulse(exactly(CREST), here, [Group(candidates_of(stated), int(count[at]))])
        breaker = Breaker(float(rated[at]), float(curve[at, 0]), float(curve[at, 1]), 0.5e-3, 5e-3)
        verdict = release_of(breaker, found.peak_a, found.i2t_a2s)
        told[verdict] += 1
        if verdict == "holds":
            assert not at_crest[at], f"installation {at} was said to hold and releases"
            assert not elsewhere[at], f"installation {at} releases away from the crest"
        if verdict == "trips":
            assert at_crest[at], f"installation {at} was said to trip and holds"
    assert told["holds"] > 320, told
    assert told["trips"] > 60, told
