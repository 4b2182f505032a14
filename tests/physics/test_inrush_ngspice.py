"""The pulse against a circuit simulator: by its waveforms in tests/data, and anew where ngspice is there."""

from __future__ import annotations

import shutil

import numpy as np
import pytest

from compat.physics.inrush import DriverInput, group_loop, pulse
from tests.physics.simulator import CIRCUITS, CREST_V, WAVEFORMS, Circuit, Waveform, kept, netlist, simulated

KEPT = kept()


def measured(wave: Waveform) -> tuple[float, float, float]:
    """Peak, width above half of it and I2t up to the first zero of the current."""
    time, current = wave
    top = int(np.argmax(current))
    ended = np.flatnonzero(current[top:] <= 0.0)
    end = top + int(ended[0]) if len(ended) else len(current)
    above = time[:end][current[:end] >= 0.5 * current[top]]
    i2t = float(np.trapezoid(current[:end] ** 2, time[:end]))
    return float(current[top]), float(above[-1] - above[0]), i2t


def test_the_waveforms_are_of_these_circuits() -> None:
    assert {name: text for name, (text, _) in KEPT.items()} == {one.name: netlist(one) for one in CIRCUITS}
    with np.load(WAVEFORMS, allow_pickle=False) as file:
        assert str(file["simulator"]).startswith("ngspice-")


@pytest.mark.parametrize("circuit", CIRCUITS, ids=lambda circuit: circuit.name)
def test_pulse_against_the_simulator(circuit: Circuit) -> None:
    driver = DriverInput(circuit.driver_ohm, circuit.driver_uf * 1e-6, circuit.driver_uh * 1e-6)
    loop = group_loop(circuit.source_ohm, circuit.source_uh * 1e-6, driver, circuit.count)
    expected = pulse(CREST_V, loop)
    peak, width, i2t = measured(KEPT[circuit.name][1])
    assert expected.peak_a == pytest.approx(peak, rel=0.03)
    assert expected.peak_a > peak * 0.999, "the step must not be below the simulated sine"
    assert expected.i2t_a2s > i2t * 0.99
    if expected.width_s < 0.5e-3:
        assert expected.width_s == pytest.approx(width, rel=0.03)
    assert expected.width_s > width * 0.98
    # Another version of the simulator may step differently; by far more than that it may not.
    if program := shutil.which("ngspice"):
        assert measured(simulated(program, circuit)) == pytest.approx((peak, width, i2t), rel=5e-3)
