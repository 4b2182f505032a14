"""The current behind a phase cut: the envelope against its own simulation."""

from __future__ import annotations

import math
from functools import cache

import numpy as np
import pytest

from compat.model.values import Interval
from compat.physics.phase_cut import Edge, rms_share
from compat.physics.phase_cut_current import (
    EDGES,
    NODES_DEGREE,
    POWERS,
    InputType,
    Power,
    peak_ratio,
    rms_ratio,
    table_of,
)
from tests.physics import simulations

# W, uF, ohm, mH; the last is the small capacitor.
SETS = np.array(
    [
        (5.0, 4.7, 47.0, 0.0),
        (10.0, 10.0, 10.0, 0.0),
        (10.0, 10.0, 4.7, 1.0),
        (25.0, 22.0, 4.7, 0.1),
        (50.0, 47.0, 2.2, 0.1),
        (50.0, 47.0, 2.2, 2.0),
        (10.0, 1.0, 22.0, 0.0),
    ]
)
ANGLES = (7.0, 20.0, 30.0, 52.0, 60.0, 67.0, 71.0, 75.0, 82.0, 90.0, 97.0, 105.0, 113.0, 120.0, 129.0, 135.0)


@cache
def ratios(stops: bool) -> dict[tuple[Power, Edge, int, float], tuple[float, float]]:
    """(power, edge, set, angle) to the ratios of peak and r.m.s. to the uncut supply."""
    cases = [(at, 0.0, 180.0) for at in range(len(SETS))]
    follows = [False] * len(SETS)
    keys: list[tuple[Power, Edge, int, float]] = []
    for power in POWERS:
        for at in range(len(SETS)):
            for angle in (*ANGLES, 142.0, 150.0) if power == "kept" else ANGLES:
                keys += [(power, "forward_phase", at, angle), (power, "reverse_phase", at, angle)]
                cases += [(at, angle, 180.0), (at, 0.0, 180.0 - angle)]
                follows += [power == "follows"] * 2
    index, on, off = np.array(cases).T
    some = SETS[index.astype(int)]
    inputs = simulations.Inputs(some[:, 0], some[:, 1] * 1e-6, some[:, 2], some[:, 3] * 1e-3)
    angle = np.where(on > 0.0, on, 180.0 - off)
    share = np.array([rms_share(float(one)) ** 2 for one in angle])
    peak, rms = simulations.cut_currents(
        inputs,
        on,
        off,
        power_share=np.where(follows, share, 1.0),
        stops_below_40_v=stops,
        half_cycles=36,
    )
    full = len(SETS)
    return {
        key: (float(peak[full + at] / peak[key[2]]), float(rms[full + at] / rms[key[2]]))
        for at, key in enumerate(keys)
    }


@pytest.mark.parametrize("stops", [True, False])
def test_the_simulation_lies_in_the_envelope(stops: bool) -> None:
    for (power, edge, at, angle), (peak, rms) in ratios(stops).items():
        kind = "small_capacitor" if at == len(SETS) - 1 else "bulk_capacitor"
        here = Interval(angle, angle)
        for found, value in (
            (peak_ratio(kind, edge, here, power), peak),  # type: ignore[arg-type]
            (rms_ratio(kind, edge, here, power), rms),  # type: ignore[arg-type]
        ):
            assert found.low <= value <= found.high, (power, kind, edge, at, angle, value, found)


# W, uF, ohm: the plane of small reservoir capacitors, 0.37 to 0.9 uF/W and 55 to 400 ohm W.
PLANE = np.array(
    [
        (6.0, 2.2, 33.0), (6.0, 2.2, 10.0), (15.0, 10.0, 15.0), (15.0, 5.6, 10.0), (40.0, 14.8, 1.5),
        (40.0, 22.0, 4.7), (40.0, 33.0, 10.0), (6.0, 4.7, 47.0),
    ]
)  # fmt: skip


def test_17d_small_reservoir_capacitors_lie_in_the_envelope() -> None:
    """6 W, 2.2 uF and 33 ohm reach 1.85 times the uncut current, where the first envelope had 1.33."""
    greatest = 0.0
    for angle in (30.0, 60.0, 70.0, 82.0, 90.0, 105.0, 120.0):
        inputs = simulations.Inputs(PLANE[:, 0], PLANE[:, 1] * 1e-6, PLANE[:, 2], np.zeros(len(PLANE)))
        nothing, whole = np.zeros(len(PLANE)), np.full(len(PLANE), 180.0)
        follows = rms_share(angle) ** 2
        peak, rms = simulations.cut_currents(
            inputs, nothing + angle, whole, power_share=follows, half_cycles=14, step_s=4e-6
        )
        uncut_peak, uncut_rms = simulations.cut_currents(inputs, nothing, whole, half_cycles=14, step_s=4e-6)
        here = Interval(angle, angle)
        peaks = peak_ratio("bulk_capacitor", "forward_phase", here, "follows")
        currents = rms_ratio("bulk_capacitor", "forward_phase", here, "follows")
        assert np.all(peak / uncut_peak <= peaks.high), angle
        assert np.all(rms / uncut_rms <= currents.high), angle
        greatest = max(greatest, float((rms / uncut_rms)[0]))
    assert 1.7 < greatest < 2.0


def test_the_envelope_is_not_wider_than_its_rows_need() -> None:
    found = ratios(True)
    for which in (0, 1):
        for angle in (75.0, 90.0, 120.0):
            values = [found["kept", "forward_phase", at, angle][which] for at in range(6)]
            ends = (peak_ratio, rms_ratio)[which]("bulk_capacitor", "forward_phase", Interval(angle, angle))
            assert ends.high < 1.06 * max(values)
            assert ends.low > 0.94 * min(values)


@pytest.mark.parametrize(
    ("at", "angle", "peak", "rms"),
    [
        (0, 75, 2.9, 1.40),
        (0, 90, 5.4, 1.99),
        (0, 120, 9.2, 3.02),
        (1, 75, 5.1, 1.68),
        (1, 90, 9.3, 2.57),
        (1, 120, 14.4, 3.68),
        (2, 90, 2.7, 1.85),
        (3, 75, 4.3, 1.76),
        (4, 90, 5.2, 2.35),
        (4, 120, 7.2, 3.09),
        (5, 90, 1.4, 1.21),
        (5, 120, 2.1, 1.66),
        (6, 90, 48, 5.0),
    ],
)
def test_published_rows_of_the_first_simulation(at: int, angle: float, peak: float, rms: float) -> None:
    kind: InputType = "small_capacitor" if at == 6 else "bulk_capacitor"
    here = Interval(angle, angle)
    found = peak_ratio(kind, "forward_phase", here), rms_ratio(kind, "forward_phase", here)
    for ends, value in zip(found, (peak, rms), strict=True):
        assert ends.low <= value <= ends.high


def test_reverse_phase_is_like_no_cut_up_to_75_degrees() -> None:
    for found in (peak_ratio, rms_ratio):
        ends = found("bulk_capacitor", "reverse_phase", Interval(0.0, 75.0))
        assert ends.low >= 0.98
        assert ends.high <= 1.02


def test_a_corrected_input_spans_the_two_ideas_of_it() -> None:
    at = Interval(90.0, 90.0)
    found = rms_ratio("corrected", "forward_phase", at)
    assert found.low == pytest.approx(math.sqrt(2.0))
    assert found.high == rms_ratio("small_capacitor", "forward_phase", at).high
    followed = peak_ratio("corrected", "reverse_phase", at)
    assert followed.high == pytest.approx(2.0)


def test_the_ratios_have_the_size_of_the_rules_of_thumb() -> None:
    """Power factor (0.4 to 0.5) by ratio is what part of its rating an output may carry of such drivers."""
    cut = rms_ratio("bulk_capacitor", "forward_phase", Interval(0.0, 90.0))
    assert 0.1 < 0.4 / cut.high < 0.25 < 0.5 / cut.low <= 0.51
    plain = rms_ratio("bulk_capacitor", "reverse_phase", Interval(0.0, 90.0))
    assert 0.4 / plain.high == pytest.approx(0.4, rel=0.1)


@pytest.mark.parametrize("power", POWERS)
@pytest.mark.parametrize("edge", EDGES)
def test_every_span_has_the_widest_of_the_nodes_around_it(power: Power, edge: Edge) -> None:
    table = np.array(table_of("rms", "bulk_capacitor", edge, power))
    grid = np.array(NODES_DEGREE[: len(table)])
    generator = np.random.default_rng(81)
    ends = generator.uniform(0.0, grid[-1], (2, 1500))
    ends[:, :500] = generator.choice(grid, (2, 500))
    ends[1, 500:700] = ends[0, 500:700]
    for low, high in np.sort(ends, axis=0).T:
        around = table[
            np.searchsorted(grid, low, side="right") - 1 : np.searchsorted(grid, high, side="left") + 1
        ]
        found = rms_ratio("bulk_capacitor", edge, Interval(float(low), float(high)), power)
        assert (found.low, found.high) == (around[:, 0].min(), around[:, 1].max()), (low, high)


def test_what_is_not_in_the_tables_is_told() -> None:
    with pytest.raises(ValueError, match="no table for 'inductive'"):
        peak_ratio("inductive", "forward_phase", Interval(0.0, 90.0))  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="from 0 up to 150"):
        rms_ratio("bulk_capacitor", "forward_phase", Interval(0.0, 151.0))
    with pytest.raises(ValueError, match="from 0 up to 135"):
        rms_ratio("bulk_capacitor", "forward_phase", Interval(0.0, 136.0), "follows")
    with pytest.raises(ValueError, match="the low end comes first"):
        rms_ratio("bulk_capacitor", "forward_phase", Interval(90.0, 80.0))
    with pytest.raises(ValueError, match="power is kept or follows"):
        rms_ratio("bulk_capacitor", "forward_phase", Interval(0.0, 90.0), "lost")  # type: ignore[arg-type]
