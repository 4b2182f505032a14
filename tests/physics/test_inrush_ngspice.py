"""The pulse against a circuit simulator: real four-diode bridges, a sine closed at its crest.

Needs the Debian package ngspice (apt-get install ngspice).
"""

from __future__ import annotations

import math
import shutil
import subprocess
from pathlib import Path

import numpy as np
import pytest

from compat.physics.inrush import DriverInput, group_loop, pulse

VOLTAGE = 230.0
# Source ohm and uH, driver ohm, uH and uF, number of drivers each with a bridge of its own.
CIRCUITS = [
    (0.4, 100.0, 0.05, 0.0, 1.0, 1),
    (0.4, 800.0, 0.2, 0.0, 47.0, 1),
    (0.8, 100.0, 1.0, 0.0, 47.0, 1),
    (0.4, 100.0, 5.0, 0.0, 47.0, 1),
    (0.25, 50.0, 22.0, 0.0, 10.0, 1),
    (0.4, 100.0, 5.0, 0.0, 220.0, 1),
    (0.8, 100.0, 0.05, 0.0, 470.0, 1),
    (0.8, 100.0, 1.0, 0.0, 22.0, 5),
    (0.8, 100.0, 1.0, 0.0, 22.0, 10),
    (0.8, 100.0, 10.0, 0.0, 47.0, 5),
    (0.8, 100.0, 10.0, 0.0, 47.0, 10),
    (0.2, 50.0, 3.0, 0.0, 33.0, 5),
    (0.2, 50.0, 3.0, 0.0, 33.0, 20),
    (0.8, 100.0, 2.0, 100.0, 22.0, 5),
    (0.4, 796.0, 0.05, 0.0, 100.0, 1),
]
# Ideal diodes stop the simulator at the current zero; a junction capacitance and a shunt cure it.
DIODE = ".model bridge D(IS=1e-9 N=1.7 RS=2m CJO=100p)"


def netlist(circuit: tuple[float, float, float, float, float, int], stop: float, out: Path) -> str:
    source_ohm, source_uh, driver_ohm, driver_uh, driver_uf, count = circuit
    lines = [
        "inrush",
        f"V1 mains 0 SIN(0 {VOLTAGE * math.sqrt(2.0)} 50 0 0 90)",
        f"R1 mains a {source_ohm}",
        f"L1 a line {source_uh}u",
        "R2 line 0 20k",
        DIODE,
    ]
    for at in range(count):
        lines += [
            f"L2{at} line i{at} {max(driver_uh, 1e-3)}u",
            f"R3{at} i{at} x{at} {driver_ohm}",
            f"D1{at} x{at} p{at} bridge",
            f"D2{at} 0 p{at} bridge",
            f"D3{at} n{at} x{at} bridge",
            f"D4{at} n{at} 0 bridge",
            f"C1{at} p{at} n{at} {driver_uf}u",
            f"R4{at} p{at} n{at} 1meg",
        ]
    step = stop / 4000.0
    lines += [
        f".tran {step} {stop} 0 {step} uic",
        ".options reltol=1e-4 method=gear",
        ".control",
        "run",
        f"wrdata {out} i(L1)",
        ".endc",
        ".end",
    ]
    return "\n".join(lines) + "\n"


def simulated(
    circuit: tuple[float, float, float, float, float, int], stop: float, folder: Path
) -> np.ndarray:
    program = shutil.which("ngspice")
    assert program, "ngspice is not installed; install it with: apt-get install ngspice"
    out = folder / "current.data"
    deck = folder / "deck.cir"
    deck.write_text(netlist(circuit, stop, out), encoding="ascii")
    done = subprocess.run(
        [program, "-b", str(deck)], capture_output=True, text=True, timeout=50, check=False, cwd=folder
    )
    assert out.exists(), f"ngspice gave no currents: {done.stdout[-500:]} {done.stderr[-500:]}"
    return np.loadtxt(out)


@pytest.mark.parametrize("circuit", CIRCUITS, ids=lambda circuit: "-".join(f"{value:g}" for value in circuit))
def test_pulse_against_the_simulator(
    circuit: tuple[float, float, float, float, float, int], tmp_path: Path
) -> None:
    source_ohm, source_uh, driver_ohm, driver_uh, driver_uf, count = circuit
    driver = DriverInput(driver_ohm, driver_uf * 1e-6, driver_uh * 1e-6)
    expected = pulse(VOLTAGE * math.sqrt(2.0), group_loop(source_ohm, source_uh * 1e-6, driver, count))
    time, current = simulated(circuit, min(4.0 * expected.width_s, 5e-3), tmp_path).T
    top = int(np.argmax(current))
    ended = np.flatnonzero(current[top:] <= 0.0)
    end = top + int(ended[0]) if len(ended) else len(current)
    peak = float(current[top])
    above = time[:end][current[:end] >= 0.5 * peak]
    width = float(above[-1] - above[0])
    i2t = float(np.trapezoid(current[:end] ** 2, time[:end]))
    assert expected.peak_a == pytest.approx(peak, rel=0.03)
    assert expected.peak_a > peak * 0.999, "the step must not be below the simulated sine"
    assert expected.i2t_a2s > i2t * 0.99
    if expected.width_s < 0.5e-3:
        assert expected.width_s == pytest.approx(width, rel=0.03)
    assert expected.width_s > width * 0.98
